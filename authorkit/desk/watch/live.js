// In pages that 'authorkit watch' hands out, and only there: reload when the page was built anew, tell what is wrong.
(function () {
  "use strict";
  var address = document.currentScript.dataset.events, source = null, box = null;

  // A page that grew or shrank would open at its top again: the place is kept here, for one reload.
  function reload() {
    sessionStorage.setItem("ui-watch", JSON.stringify({ page: location.pathname, top: scrollY }));
    location.reload();
  }

  function goBack() {
    var kept = JSON.parse(sessionStorage.getItem("ui-watch") || "{}");
    sessionStorage.removeItem("ui-watch");
    if (kept.page === location.pathname) scrollTo({ top: kept.top, behavior: "instant" });
  }

  function tell(problems) {
    if (!problems) { if (box) box.remove(); box = null; return; }
    if (!box) {
      box = document.createElement("section");
      box.id = "ui-watch";
      box.setAttribute("role", "alert");
      box.append(document.createElement("strong"), document.createElement("pre"));
      Object.assign(box.style, {
        position: "fixed", left: "0", right: "0", bottom: "0", zIndex: "100", maxHeight: "45vh", overflow: "auto",
        padding: ".75rem 1.25rem", background: "#FFFFFF", color: "#000000", borderTop: ".375rem solid #B3261E"
      });
      Object.assign(box.lastChild.style, { margin: ".5rem 0 0", padding: "0", border: "0", background: "none", whiteSpace: "pre-wrap" });
      document.body.append(box);
    }
    box.firstChild.textContent = "Not built: the page shows the last good state.";
    box.lastChild.textContent = problems;
  }

  function listen() {
    if (source) return;
    source = new EventSource(address);
    source.addEventListener("message", function (event) {
      var state = JSON.parse(event.data);
      if (state.reload) { source.close(); reload(); return; }
      tell(state.problems);
    });
  }

  // A hidden tab does not hold a connection: browsers have few for each server.
  document.addEventListener("visibilitychange", function () {
    if (document.hidden) { if (source) source.close(); source = null; } else listen();
  });
  addEventListener("load", goBack);
  document.addEventListener("DOMContentLoaded", function () { if (!document.hidden) listen(); });
})();
