// While plans are being made: look again every two seconds, and take the new page in when its state is another.
(function () {
  "use strict";
  function look() {
    fetch(window.location.href, { credentials: "same-origin" })
      .then(function (answer) { return answer.ok ? answer.text() : Promise.reject(answer.status); })
      .then(function (text) {
        var there = new DOMParser().parseFromString(text, "text/html").getElementById("waiting");
        var here = document.getElementById("waiting");
        if (!there || !here) { window.location.reload(); return; }
        if (there.innerHTML !== here.innerHTML) { here.innerHTML = there.innerHTML; }
        window.setTimeout(look, 2000);
      })
      .catch(function () { window.setTimeout(look, 5000); });
  }
  window.setTimeout(look, 2000);
})();
