// Reads a Mermaid flow chart from standard input with Mermaid's own parser and says as JSON what it found.
import { readFileSync } from "node:fs";
import { JSDOM } from "jsdom";

const page = new JSDOM("<!doctype html><body></body>");
globalThis.window = page.window;
globalThis.document = page.window.document;
const mermaid = (await import("mermaid")).default;

const text = readFileSync(0, "utf8");
const { diagramType } = await mermaid.parse(text);
const { db } = await mermaid.mermaidAPI.getDiagramFromText(text);
const nodes = [...db.getVertices().values()].map((v) => ({ id: v.id, text: v.text, shape: v.type, classes: v.classes }));
const edges = db.getEdges().map((e) => ({ start: e.start, end: e.end, text: e.text, stroke: e.stroke }));
console.log(JSON.stringify({ diagramType, nodes, edges }));
