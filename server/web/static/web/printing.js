// Looks every two seconds how far the document is, in place of the page that looks again by itself.
(() => {
  const look = async () => {
    const here = document.getElementById("printing");
    try {
      const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const told = page.getElementById("printing");
      if (answer.ok && told) {
        const bar = here.querySelector("progress"), next = told.querySelector("progress");
        if (bar && next) {
          bar.max = next.max; bar.value = next.value;
          here.querySelector(".sum").textContent = told.querySelector(".sum").textContent;
        } else {
          here.replaceWith(told);
          return;
        }
      }
    } catch { /* The server is not reached just now: ask again. */ }
    setTimeout(look, 2000);
  };
  setTimeout(look, 2000);
})();
