"use strict";
(function () {
  var name = "swapwright:" + document.body.dataset.plan;
  var boxes = Array.from(document.querySelectorAll("input[type=checkbox][data-key]"));
  var fields = Array.from(document.querySelectorAll("input[type=text][data-key]"));
  var says = document.getElementById("memory-says");

  function read() {
    try {
      var kept = JSON.parse(localStorage.getItem(name) || "{}");
      return {
        ticked: new Set(Array.isArray(kept.ticked) ? kept.ticked : []),
        readings: new Map(Array.isArray(kept.readings) ? kept.readings : [])
      };
    } catch (fault) {
      return { ticked: new Set(), readings: new Map() };
    }
  }

  function write() {
    var ticked = boxes.filter(function (b) { return b.checked; }).map(function (b) { return b.dataset.key; });
    var readings = fields.filter(function (f) { return f.value; }).map(function (f) { return [f.dataset.key, f.value]; });
    try {
      localStorage.setItem(name, JSON.stringify({ ticked: ticked, readings: readings }));
    } catch (fault) {
      says.textContent = "This phone does not keep the ticks: they last until the page is closed.";
    }
  }

  function count() {
    document.querySelectorAll(".progress").forEach(function (line) {
      var some = boxes.filter(function (b) { return b.dataset.list === line.dataset.list; });
      line.textContent = some.filter(function (b) { return b.checked; }).length + " of " + some.length + " ticked";
      line.hidden = false;
    });
  }

  var kept = read();
  boxes.forEach(function (b) { b.checked = kept.ticked.has(b.dataset.key); });
  fields.forEach(function (f) { f.value = String(kept.readings.get(f.dataset.key) || ""); });
  boxes.concat(fields).forEach(function (one) {
    one.addEventListener("input", function () { write(); count(); });
  });
  count();

  if (boxes.length) {
    document.getElementById("memory").hidden = false;
  }
  var clear = document.getElementById("clear");
  var sure = false;
  clear.addEventListener("click", function () {
    if (!sure) {
      sure = true;
      clear.textContent = "Press again to untick everything";
      return;
    }
    boxes.forEach(function (b) { b.checked = false; });
    fields.forEach(function (f) { f.value = ""; });
    write();
    count();
    sure = false;
    clear.textContent = "Untick everything";
  });
  window.addEventListener("beforeprint", function () {
    document.querySelectorAll("details").forEach(function (d) { d.open = true; });
  });
})();
