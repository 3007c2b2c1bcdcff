"use strict";
/* The land on a map, from what the page itself brought. Nothing is asked of any server but for tiles, where the farm
   has set where they come from. */
(() => {
  const place = document.getElementById("map");
  const data = JSON.parse(document.getElementById("map-data").textContent);
  const LETTER_PX = 8.5;
  const LINE_PX = 26;
  const map = L.map(place, { attributionControl: false, zoomControl: false, zoomSnap: 0.25, maxZoom: 21 });
  L.control.zoom({ zoomInTitle: data.words.closer, zoomOutTitle: data.words.wider }).addTo(map);
  L.control.scale({ imperial: !data.metric, metric: data.metric }).addTo(map);
  if (data.tiles) {
    const credit = document.createElement("span");
    credit.textContent = data.tiles.credit;
    L.tileLayer(data.tiles.address, { maxZoom: 21, attribution: credit.innerHTML }).addTo(map);
    L.control.attribution({ prefix: false }).addTo(map);
  }

  /* What is said of a piece of ground: text and a link, never markup of anybody's. */
  function said(one) {
    const box = document.createElement("div");
    const name = document.createElement(one.href ? "a" : "strong");
    name.textContent = one.name;
    if (one.href) name.href = one.href;
    if (one.wrong) name.className = "wrong";
    box.append(name);
    for (const line of one.told || []) {
      const row = document.createElement("div");
      row.textContent = line;
      box.append(row);
    }
    return box;
  }

  function classes(one) {
    const own = { field: "ground", part: "part", pile: "pile", buffer: "thing", stop: "stop" }[one.what];
    return [own, one.leg, one.focus && "focus", one.wrong && "wrong"].filter(Boolean).join(" ");
  }

  const all = L.featureGroup().addTo(map);
  const fields = [];
  let focus = null;
  for (const feature of data.features) {
    const one = feature.properties;
    const style = { className: classes(one), interactive: one.what !== "part" };
    if (one.band) L.geoJSON(one.band, { style: { className: "band", interactive: false } }).addTo(all);
    const layer = L.geoJSON(feature, {
      style,
      pointToLayer: (_, at) => L.circleMarker(at, { ...style, radius: one.what === "stop" ? 5 : 6 }),
    });
    layer.addTo(all);
    if (style.interactive) layer.bindPopup(() => said(one));
    if (one.what === "field") {
      const name = document.createElement("a");
      name.textContent = one.name;
      name.href = one.href;
      name.tabIndex = -1; /* the same links stand in the list beside the map, for the keyboard */
      const look = { permanent: true, direction: "center", interactive: true, className: one.wrong ? "name wrong" : "name" };
      layer.bindTooltip(name, look);
      const bounds = layer.getBounds();
      const size = (bounds.getNorth() - bounds.getSouth()) * (bounds.getEast() - bounds.getWest());
      fields.push({ layer, bounds, size, letters: one.name.length, wrong: Boolean(one.wrong) });
      if (one.focus) focus = layer;
    } else if (one.focus) focus = layer;
  }

  /* A name is shown where its field is large enough for it and no larger field's name stands there already; what is
     wrong comes first and always has its name. */
  fields.sort((a, b) => b.wrong - a.wrong || b.size - a.size);
  function names() {
    const taken = [];
    for (const { layer, bounds, letters, wrong } of fields) {
      const a = map.latLngToContainerPoint(bounds.getSouthWest());
      const b = map.latLngToContainerPoint(bounds.getNorthEast());
      const middle = map.latLngToContainerPoint(bounds.getCenter());
      const wide = letters * LETTER_PX + 12;
      const box = L.bounds([middle.x - wide / 2, middle.y - LINE_PX / 2], [middle.x + wide / 2, middle.y + LINE_PX / 2]);
      const roomy = Math.abs(a.x - b.x) > wide * 0.7 && Math.abs(a.y - b.y) > LINE_PX;
      if ((wrong || roomy) && !taken.some((one) => one.overlaps(box))) {
        taken.push(box);
        layer.openTooltip();
      } else layer.closeTooltip();
    }
  }
  map.on("zoomend", names);

  const whole = all.getLayers().length ? all.getBounds() : null;
  const first = focus ? focus.getBounds().pad(0.35) : whole;
  function open() {
    if (first && first.isValid()) map.fitBounds(first, { paddingTopLeft: [62, 14], paddingBottomRight: [14, 14], maxZoom: 18, animate: false });
    else map.setView([40, -75], 5);
    names();
  }
  open();
  /* Until somebody moves it, the map fits whatever it is shown on: another width, a sheet of paper. */
  let moved = false;
  map.on("mousedown keydown", () => { moved = true; });
  for (const button of place.querySelectorAll(".leaflet-control-zoom a")) button.addEventListener("click", () => { moved = true; });
  const refit = () => { if (!moved) open(); };
  map.on("resize", refit);
  window.addEventListener("beforeprint", () => { map.invalidateSize({ animate: false }); refit(); });
  window.goodgroundMap = { map, data, names };
})();
