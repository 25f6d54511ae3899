/* Runs that were kept here and that another program has written over since.
   In: the answer to "gone", after each look at the bench. Out: a line a run, to put it back or let it go. */
(function () {
  "use strict";

  const desk = window.desk;
  const place = document.querySelector("[data-gone]");

  function button(words, action) {
    const made = desk.element("button", "", words);
    made.type = "button";
    made.addEventListener("click", function () {
      act(action);
    });
    return made;
  }

  async function act(action) {
    try {
      await action();
      await look();
    } catch (error) {
      place.append(desk.element("p", "", desk.problem(error)));
    }
  }

  function line(gone) {
    const made = desk.element("p", "", "Run " + gone.run + " was kept in " + gone.file +
      " and is not there any more: another program has saved over the file. ");
    made.append(
      button("Put it back", () => desk.ask("put-back", { run: gone.run })),
      " ",
      button("I took it out", () => desk.ask("let-go", { run: gone.run })));
    return made;
  }

  async function look() {
    const answer = await desk.ask("gone", {});
    place.replaceChildren(...answer.runs.map(line));
  }

  document.addEventListener("trialpress-looked", function () {
    look().catch(function () {});
  });
}());
