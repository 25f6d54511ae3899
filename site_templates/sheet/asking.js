/* What every working page needs: to ask the preview, and to make an element.
   In: the secret in the page's head. Out: window.desk. */
(function () {
  "use strict";

  const TOKEN = document.querySelector("meta[name=session]").content;

  /* Posts to the page's own address; the sentence of a refusal comes as an Error. */
  async function ask(name, sent) {
    const answer = await fetch(window.location.pathname + "/" + name, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Trialpress-Session": TOKEN },
      body: JSON.stringify(sent),
    });
    const content = await answer.json();
    if (!answer.ok) {
      throw new Error(content.problem);
    }
    return content;
  }

  /* What to say of an Error that ask has thrown. */
  function problem(error) {
    return error instanceof TypeError
      ? "The preview does not answer. What you typed is kept in this browser: start the preview again."
      : error.message;
  }

  function element(name, className, text) {
    const made = document.createElement(name);
    made.className = className;
    made.textContent = text;
    return made;
  }

  window.desk = { ask: ask, element: element, problem: problem };
}());
