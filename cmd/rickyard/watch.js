// Reloads the page when the workbook has changed. While the page is hidden it
// asks for nothing, for a browser keeps only a few such questions open.
(function () {
  "use strict";
  var me = document.currentScript, events = null;
  function stop() {
    if (events) events.close();
    events = null;
  }
  function listen() {
    if (events || document.hidden) return;
    events = new EventSource(me.dataset.events);
    events.onmessage = function (e) {
      if (e.data === me.dataset.state) return;
      stop();
      location.reload();
    };
  }
  document.addEventListener("visibilitychange", function () { document.hidden ? stop() : listen(); });
  addEventListener("pagehide", stop);
  addEventListener("pageshow", listen);
  listen();
})();
