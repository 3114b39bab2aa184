// Makes the page pleasanter; everything works without it too.
// 1. A line counts as sent only when the server has answered. Until then it waits, and the same form is sent again under
//    the same id, so that a repeat does nothing. One form is under way at a time.
// 2. What is new comes as finished HTML, with an answer or by the stream. A line that is there is not added twice.
// 3. Where somebody reads or types is not taken away: only an own answer moves the page and the focus.
"use strict";

(() => {
  const log = document.getElementById("log");
  const notice = document.getElementById("notice");
  const below = document.getElementById("below");
  const label = document.getElementById("words-label");
  const placeForm = document.querySelector("form.place");
  const words = JSON.parse(document.getElementById("script-words").textContent);
  const photoBytes = 20 * 1024 * 1024;
  const retryMs = [1500, 3000, 6000, 12000];
  const lostMs = 5000;
  const held = []; // news that came while an own answer was under way
  let turn = Number(log.dataset.turn);
  let isSending = false;
  let isLeaving = false;
  let tryNow = null;
  let lostTimer = 0;

  function say(text) {
    notice.textContent = text;
  }

  function freshId() {
    return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  // --- what the server says ---

  function fragmentOf(html) {
    return document.createRange().createContextualFragment(html);
  }

  function apply(update, isOwn) {
    if (isLeaving) { return null; }
    if (update.go) {
      isLeaving = true;
      location.assign(update.go);
      return null;
    }
    if (update.note) { say(update.note); }
    if (update.turn === undefined) { return null; }
    const sawTheEnd = isEndInView();
    const first = addLines(update.html);
    turn = Math.max(turn, update.turn);
    log.dataset.turn = String(turn);
    setLive(update.live);
    label.textContent = update.label;
    offerPlace(update.place);
    document.getElementById("album").hidden = !update.album;
    for (const line of document.querySelectorAll("[data-dates]")) {
      line.hidden = (line.dataset.dates === "yes") !== update.dates;
    }
    if (first && (isOwn || sawTheEnd)) { first.scrollIntoView({ block: "start" }); }
    if (first && !isOwn && !sawTheEnd) { pointBelow(first); }
    return first;
  }

  function isEndInView() {
    return log.getBoundingClientRect().bottom < innerHeight + 40;
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
    if (open) { open.remove(); }
    const line = live && document.getElementById(live.of);
    if (line && !line.querySelector("form.choices")) { line.append(fragmentOf(live.html)); }
  }

  function pointBelow(line) {
    below.href = `#${line.id}`;
    below.hidden = false;
    new IntersectionObserver((seen, watch) => {
      if (seen.some((each) => each.isIntersecting)) {
        below.hidden = true;
        watch.disconnect();
      }
    }).observe(line);
  }

  // --- sending ---

  function waitingLine(text) {
    const line = document.createElement("div");
    line.className = "own waiting";
    const said = document.createElement("p");
    said.append(
      Object.assign(document.createElement("b"), { textContent: words.you }), " ",
      Object.assign(document.createElement("span"), { textContent: text }),
    );
    line.append(said, Object.assign(document.createElement("p"), { className: "state", textContent: words.sending }));
    log.append(line);
    line.scrollIntoView({ block: "nearest" });
    return line;
  }

  function shownText(form, presser) {
    if (form.matches(".photo")) { return words["said-photo"]; }
    if (form.matches(".place")) { return words["said-place"]; }
    if (form.matches(".choices")) {
      const picked = presser && presser.name ? [presser] : [...form.querySelectorAll(":checked")];
      return picked.map((each) => each.closest(".row").lastElementChild.textContent.trim()).join(", ");
    }
    return (presser && presser.name ? presser.value : form.elements.text.value).trim();
  }

  async function send(form, presser) {
    if (isSending) { return; }
    const text = shownText(form, presser);
    if (!text) {
      say(words[form.matches(".choices") ? "note-pick" : "note-empty"]);
      return;
    }
    const body = new FormData(form);
    if (presser && presser.name) { body.append(presser.name, presser.value); }
    say("");
    setSending(true);
    const line = waitingLine(text);
    if (form.matches(".say")) { form.elements.text.value = ""; }
    const answer = await untilAnswered(form.action, body, line);
    line.remove();
    const first = apply(answer, true);
    setSending(false);
    if (answer.turn !== undefined) {
      clear(form);
      putFocus(form, first);
    } else if (form.matches(".say")) {
      form.elements.text.value = text; // it was refused: let it be put right
    }
    for (const update of held.splice(0)) { apply(update, false); }
  }

  function setSending(is) {
    isSending = is;
    document.body.classList.toggle("sending", is);
  }

  function clear(form) {
    if (form.matches(".photo")) { form.reset(); }
    for (const field of document.querySelectorAll("input[name=id]")) { field.value = freshId(); }
  }

  function putFocus(form, first) {
    if (form.matches(".say")) {
      if (matchMedia("(pointer: coarse)").matches) { document.activeElement.blur(); } // the keyboard covers the answer
      return;
    }
    let line = first;
    while (line && !line.matches(".told")) { line = line.nextElementSibling; }
    if (line) { line.focus({ preventScroll: true }); } // what was pressed is gone; the keyboard goes on from here
  }

  async function untilAnswered(action, body, line) {
    for (let tries = 0; ; tries += 1) {
      body.set("after", String(turn));
      try {
        const answer = await fetch(action, { method: "POST", body, headers: { accept: "application/json" } });
        if (answer.status < 500) { return await answer.json(); }
      } catch (error) {
        // No connection (TypeError), or something on the way answered for the server (SyntaxError): send it again.
        if (!(error instanceof TypeError || error instanceof SyntaxError)) { throw error; }
      }
      await pause(line.querySelector(".state"), retryMs[Math.min(tries, retryMs.length - 1)]);
    }
  }

  function pause(state, ms) {
    return new Promise((resolve) => {
      const button = Object.assign(document.createElement("button"), {
        type: "button", className: "press quiet", textContent: words["try-again"],
      });
      state.replaceChildren(`${words["not-sent"]} `, button);
      const timer = setTimeout(goOn, ms);
      tryNow = goOn;
      button.addEventListener("click", goOn);
      function goOn() {
        clearTimeout(timer);
        tryNow = null;
        state.textContent = words.sending;
        resolve();
      }
    });
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches(".say, .choices, .photo, .wishes, .place")) { return; }
    event.preventDefault();
    if (form.matches(".place") && !form.elements.latitude.value) {
      askForPlace();
    } else {
      send(form, event.submitter);
    }
  });

  // --- photo, place, link ---

  const picture = document.getElementById("picture");
  picture.addEventListener("change", () => {
    const file = picture.files[0];
    if (file && file.size > photoBytes) {
      say(words["note-photo_size"]);
      picture.value = "";
    } else if (file) {
      send(picture.form, null);
    }
  });

  function offerPlace(isAsked) {
    placeForm.hidden = !(isAsked && "geolocation" in navigator && isSecureContext);
  }

  function askForPlace() {
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => {
        placeForm.elements.latitude.value = coords.latitude.toFixed(2);
        placeForm.elements.longitude.value = coords.longitude.toFixed(2);
        send(placeForm, null).then(() => { placeForm.elements.latitude.value = ""; });
      },
      () => say(words["place-failed"]),
      { maximumAge: 600000, timeout: 15000 },
    );
  }

  const copy = document.getElementById("copy");
  if (navigator.clipboard) {
    copy.hidden = false;
    copy.addEventListener("click", async () => {
      await navigator.clipboard.writeText(document.getElementById("link").href);
      copy.textContent = words["keep-copied"];
    });
  }

  // --- news ---

  function listen() {
    const stream = new EventSource(`/stream?after=${turn}`);
    stream.addEventListener("open", () => {
      clearTimeout(lostTimer);
      if (notice.textContent === words.lost) { say(""); }
      if (tryNow) { tryNow(); }
    });
    stream.addEventListener("message", (event) => {
      const update = JSON.parse(event.data);
      if (isSending) { held.push(update); } else { apply(update, false); }
    });
    stream.addEventListener("error", () => {
      clearTimeout(lostTimer);
      lostTimer = setTimeout(() => say(words.lost), lostMs);
      if (stream.readyState === EventSource.CLOSED) { setTimeout(listen, lostMs); }
    });
  }

  addEventListener("pageshow", (event) => {
    if (event.persisted) { location.reload(); } // brought back from the browser's memory, it may be days old
  });

  document.documentElement.classList.add("scripted");
  offerPlace(log.dataset.place === "yes");
  if (location.hash === "#now") { document.getElementById("now").scrollIntoView(); }
  listen();
})();
