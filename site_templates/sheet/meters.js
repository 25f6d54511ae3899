/* A balance, or any other meter, that types into the field in focus.
   In: window.desk.meters, names by unit; the field last in focus. Out: its reading there, at a button or F2. */
(function () {
  "use strict";

  const desk = window.desk;
  const form = document.querySelector("[data-run]");
  const find = (name) => form.querySelector("[data-" + name + "]");
  const INSTRUMENT = { dose_g: "dose_instrument" };
  let field = null;
  let isReading = false;

  function meterOf(input) {
    return ((desk.meters || {})[input.dataset.unit] || [])[0];
  }

  function chosen(event) {
    const input = event.target.closest("input[data-column][data-unit]");
    if (!input || !meterOf(input)) {
      return;
    }
    field = input;
    find("meter").hidden = false;
    const label = input.closest("label").querySelector("span").firstChild.textContent.trim();
    find("read").textContent = label + " from " + meterOf(input) + " (F2)";
  }

  async function read() {
    if (isReading || !field || !field.isConnected) {
      return;
    }
    const into = field;
    isReading = true;
    find("meter-says").textContent = "Reading " + meterOf(into) + " …";
    try {
      const reading = await desk.ask("measure", { meter: meterOf(into), unit: into.dataset.unit });
      fill(into, reading);
      find("meter-says").textContent = "It sent: " + reading.line;
    } catch (error) {
      find("meter-says").textContent = desk.problem(error);
    }
    isReading = false;
  }

  function fill(into, reading) {
    put(into, reading.value);
    const tool = find("more").querySelector("[data-column=" + (INSTRUMENT[into.dataset.column] || "instrument") + "]");
    if (tool && !tool.value && reading.instrument) {
      put(tool, reading.instrument);
    }
    const note = find("more").querySelector("[data-column=note]");
    if (note && find("raw").checked) {
      put(note, [note.value, "line: " + reading.line].filter(Boolean).join("; "));
    }
    into.focus();
  }

  function put(input, text) {
    input.value = text;
    input.dispatchEvent(new Event("input", { bubbles: true }));
  }

  form.addEventListener("focusin", chosen);
  find("read").addEventListener("click", read);
  document.addEventListener("keydown", function (event) {
    if (event.key === "F2") {
      event.preventDefault();
      read();
    }
  });
}());
