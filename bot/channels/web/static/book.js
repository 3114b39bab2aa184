// Makes the page pleasanter; everything also works without it.
// 1. A line shows as sent only when the server has answered. Until then it waits, and the same form is sent again under
//    the same id, so a repeat does nothing.
// 2. What is new comes as finished HTML from the server, by answer or by stream; a line that is there is not added twice.
"use strict";

(() => {
  const log = document.getElementById("log");
  const notice = document.getElementById("notice");
  const words = JSON.parse(document.getElementById("script-words").textContent);
  const photoBytes = 20_000_000;
  const retryMs = [1500, 3000, 6000, 12000];
  let turn = Number(log.dataset.turn);
  let lostTimer = 0;
  document.documentElement.classList.add("scripted");

  const freshId = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
  const say = (text) => { notice.textContent = text; };

  function fragmentOf(html) {
    return document.createRange().createContextualFragment(html);
  }

  function apply(update, own) {
    if (update.go) { location.href = update.go; return null; }
    if (update.note) { say(update.note); }
    if (update.turn === undefined) { return null; }
    const first = addLines(update.html);
    turn = Math.max(turn, update.turn);
    log.dataset.turn = String(turn);
    setLive(update.live);
    document.getElementById("words-label").textContent = update.label;
    placeForm().hidden = !(update.place && "geolocation" in navigator);
    for (const line of document.querySelectorAll("[data-dates]")) {
      line.hidden = (line.dataset.dates === "yes") !== update.dates;
    }
    if (first) { show(first, own); }
    return first;
  }

  function addLines(html) {
    let first = null;
    for (const line of [...fragmentOf(html).children]) {
      if (line.id && document.getElementById(line.id)) { continue; }
      line.classList.add("fresh");
      log.append(line);
      first = first || line;
    }
    return first;
  }

  function setLive(live) {
    const open = log.querySelector("form.choices");
    if (open && live && open.dataset.of === live.of) { return; }
    for (const form of log.querySelectorAll("form.choices")) { form.remove(); }
    const place = live && document.getElementById(live.of);
    if (place) { place.append(fragmentOf(live.html)); }
  }

  function show(line, own) {
    const seesTheEnd = innerHeight + scrollY > document.documentElement.scrollHeight - line.parentElement.lastElementChild.offsetHeight - 400;
    if (own || seesTheEnd) {
      line.scrollIntoView({ block: "start" });
    } else {
      say(words["new-below"]);
    }
  }

  // --- sending ---

  function waitingLine(text) {
    const line = document.createElement("div");
    line.className = "own waiting";
    const paragraph = document.createElement("p");
    paragraph.append(Object.assign(document.createElement("span"), { textContent: text }));
    const state = Object.assign(document.createElement("span"), { className: "state", textContent: words.sending });
    line.append(paragraph, state);
    log.append(line);
    line.scrollIntoView({ block: "nearest" });
    return line;
  }

  function shownText(form, submitter) {
    if (form.classList.contains("photo")) { return words["said-photo"]; }
    if (form.classList.contains("place")) { return words["said-place"]; }
    if (form.classList.contains("choices")) {
      const picked = submitter && submitter.name === "token" ? [submitter] : [...form.querySelectorAll(":checked")];
      return picked.map((each) => (each.closest(".row")).lastElementChild.textContent.trim()).join(", ");
    }
    return submitter && submitter.name === "text" ? submitter.value : form.elements.text.value;
  }

  async function send(form, submitter) {
    const body = new FormData(form, submitter);
    body.set("after", String(turn));
    const text = shownText(form, submitter);
    if (form.classList.contains("choices") && !text) { say(words["note-pick"]); return; }
    if (form.classList.contains("say") && !text.trim()) { say(words["note-empty"]); return; }
    say("");
    const line = waitingLine(text);
    renew(form);
    const pressed = form.querySelector("fieldset");
    if (pressed) { pressed.disabled = true; } // a second press would be a second answer
    const answer = await untilAnswered(form.action, body, line);
    line.remove();
    const first = apply(answer, true);
    if (pressed) {
      pressed.disabled = false;
      focusOn(first); // the pressed button is gone; without this a keyboard would be back at the top of the page
    }
  }

  function focusOn(line) {
    while (line && !line.matches(".told")) { line = line.nextElementSibling; }
    if (line) { line.focus({ preventScroll: true }); }
  }

  function renew(form) {
    for (const field of document.querySelectorAll("input[name=id]")) { field.value = freshId(); }
    if (form.classList.contains("say")) { form.reset(); form.elements.text.value = ""; }
    if (form.classList.contains("photo")) { form.reset(); }
    for (const field of document.querySelectorAll("input[name=id]")) { field.value = freshId(); }
  }

  async function untilAnswered(action, body, line) {
    for (let tries = 0; ; tries += 1) {
      try {
        const answer = await fetch(action, { method: "POST", body, headers: { accept: "application/json" } });
        if (answer.status < 500) { return await answer.json(); }
      } catch (error) {
        if (!(error instanceof TypeError)) { throw error; }
      }
      await waitToTryAgain(line, retryMs[Math.min(tries, retryMs.length - 1)]);
      body.set("after", String(turn));
    }
  }

  function waitToTryAgain(line, ms) {
    return new Promise((resolve) => {
      const state = line.querySelector(".state");
      const button = Object.assign(document.createElement("button"), {
        type: "button", className: "press quiet", textContent: words["try-again"],
      });
      state.replaceChildren(`${words["not-sent"]} `, button);
      const timer = setTimeout(done, ms);
      button.addEventListener("click", done);
      function done() {
        clearTimeout(timer);
        state.textContent = words.sending;
        resolve();
      }
    });
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches(".say, .choices, .photo, .wishes, .place") || !log) { return; }
    event.preventDefault();
    if (form.classList.contains("place") && !form.elements.latitude.value) {
      askForPlace(form);
      return;
    }
    send(form, event.submitter);
  });

  // --- photo, place, link ---

  const picture = document.getElementById("picture");
  picture.addEventListener("change", () => {
    const file = picture.files[0];
    if (!file) { return; }
    if (file.size > photoBytes) {
      say(words["note-photo_size"]);
      picture.value = "";
      return;
    }
    send(picture.form, null);
  });

  function placeForm() { return document.querySelector("form.place"); }

  function askForPlace(form) {
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => {
        form.elements.latitude.value = coords.latitude.toFixed(2);
        form.elements.longitude.value = coords.longitude.toFixed(2);
        send(form, null).then(() => { form.elements.latitude.value = ""; });
      },
      () => say(words["place-failed"]),
      { maximumAge: 600_000, timeout: 15_000 },
    );
  }

  const copy = document.getElementById("copy");
  if (navigator.clipboard) {
    copy.hidden = false;
    copy.addEventListener("click", () => {
      navigator.clipboard.writeText(document.getElementById("link").href).then(() => say(words["keep-copied"]));
    });
  }

  // --- news ---

  function listen() {
    const stream = new EventSource(`/stream?after=${turn}`);
    stream.addEventListener("open", () => {
      clearTimeout(lostTimer);
      if (notice.textContent === words.lost) { say(""); }
    });
    stream.addEventListener("message", (event) => apply(JSON.parse(event.data), false));
    stream.addEventListener("error", () => {
      clearTimeout(lostTimer);
      lostTimer = setTimeout(() => say(words.lost), 5000);
      if (stream.readyState === EventSource.CLOSED) { setTimeout(listen, 5000); }
    });
  }

  placeForm().hidden = !(log.dataset.place === "yes" && "geolocation" in navigator);
  listen();
  if (location.hash === "#now") { document.getElementById("now").scrollIntoView(); }
})();
