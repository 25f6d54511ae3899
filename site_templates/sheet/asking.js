/* What every working page needs: to ask the preview, and to make an element.
   In: the secret in the page's head. Out: window.desk. */
(function () {
  "use strict";

  const TOKEN = document.querySelector("meta[name=session]").content;

  /* Posts to the page's own address; the sentence of a refusal comes as an Error with its status.
     With a patience, an answer that takes longer is none. */
  async function ask(name, sent, patienceMs) {
    const answer = await fetch(window.location.pathname + "/" + name, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Trialpress-Session": TOKEN },
      body: JSON.stringify(sent),
      signal: patienceMs ? AbortSignal.timeout(patienceMs) : null,
    });
    const content = await answer.json();
    if (!answer.ok) {
      throw Object.assign(new Error(content.problem), { status: answer.status });
    }
    return content;
  }

  /* Whether nothing came back: the network, or the preview, is away. */
  function isUnanswered(error) {
    return error instanceof TypeError || error instanceof DOMException;
  }

  /* What to say of an Error that ask has thrown. */
  function problem(error) {
    return isUnanswered(error)
      ? "The preview does not answer. What you typed is kept in this browser: look whether the network is there and the preview still runs."
      : error.message;
  }

  function element(name, className, text) {
    const made = document.createElement(name);
    made.className = className;
    made.textContent = text;
    return made;
  }

  window.desk = { ask: ask, element: element, isUnanswered: isUnanswered, problem: problem };
}());
