// Looks again at how far an advisory is, while it is on its way. Without this the page has a link that does the same.
"use strict";

(function watch() {
  const far = document.getElementById("far");
  const seconds = Number(far?.dataset.again ?? 0);
  if (!seconds) return;

  setTimeout(async () => {
    if (document.hidden) return watch();
    try {
      const answer = await fetch(location.pathname, { credentials: "same-origin" });
      if (answer.redirected) return location.reload(); // signed out by now
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const now = page.getElementById("far");
      const hasOtherWays = page.querySelector(".ways")?.innerHTML.length !== document.querySelector(".ways")?.innerHTML.length;
      if (!now || hasOtherWays) return location.assign(location.pathname);
      far.replaceWith(now);
    } catch {
      // The service is being restarted, perhaps: the next look will tell.
    }
    watch();
  }, seconds * 1000);
})();
