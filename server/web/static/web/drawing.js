"use strict";
/* Drawing writes the corners into the form's own text, and typing there draws them: the text is what is sent. */
(() => {
  const { map, data } = window.goodgroundMap;
  const text = document.getElementById("outline");
  const drawnAs = document.getElementById("drawn");
  const hole = text.dataset.hole;
  const shape = () => (drawnAs ? drawnAs.value : "area");
  const style = { className: "drawn" };
  const drawn = L.featureGroup().addTo(map);
  map.pm.setLang(data.language);
  map.pm.setPathOptions(style);

  function rings(said) {
    const out = [];
    let ring = null;
    for (const line of said.split(/\r?\n/)) {
      const words = line.trim();
      const pair = words.split(/[,;\s]+/).map(Number);
      if (!words || words.toLowerCase() === hole) {
        ring = null;
        if (words) out.push((ring = { hole: true, at: [] }));
      } else if (pair.length === 2 && pair.every(Number.isFinite)) {
        if (!ring) out.push((ring = { hole: false, at: [] }));
        ring.at.push(pair);
      } else return null;
    }
    return out.filter((one) => one.at.length);
  }

  function show() {
    const found = text.value.trim().startsWith("{") ? null : rings(text.value);
    drawn.clearLayers();
    if (!found) return;
    if (shape() === "point") {
      for (const one of found) for (const at of one.at) L.circleMarker(at, { ...style, radius: 7 }).addTo(drawn);
    } else if (shape() === "line") {
      for (const one of found) L.polyline(one.at, style).addTo(drawn);
    } else {
      const pieces = [];
      for (const one of found) {
        if (one.hole && pieces.length) pieces[pieces.length - 1].push(one.at);
        else pieces.push([one.at]);
      }
      for (const piece of pieces) L.polygon(piece, style).addTo(drawn);
    }
  }

  const corners = (ring) => ring.map((at) => `${at.lat.toFixed(7)}, ${L.Util.wrapNum(at.lng, [-180, 180], true).toFixed(7)}`).join("\n");

  function write() {
    const out = [];
    drawn.eachLayer((one) => {
      if (one.getLatLng) out.push(corners([one.getLatLng()]));
      else if (shape() === "line") out.push(corners(one.getLatLngs()));
      else {
        const deep = one.getLatLngs();
        const pieces = Array.isArray(deep[0][0]) ? deep : [deep];
        for (const [outer, ...holes] of pieces) out.push([corners(outer), ...holes.map((each) => `${hole}\n${corners(each)}`)].join("\n"));
      }
    });
    text.value = out.join(shape() === "point" ? "\n" : "\n\n");
  }

  function tools() {
    map.pm.removeControls();
    const area = shape() === "area";
    map.pm.addControls({
      position: "topright",
      drawPolygon: area, drawPolyline: shape() === "line", drawCircleMarker: shape() === "point",
      drawMarker: false, drawCircle: false, drawRectangle: false, drawText: false,
      editMode: true, dragMode: false, cutPolygon: area, removalMode: true, rotateMode: false,
    });
    for (const button of document.querySelectorAll(".leaflet-pm-toolbar .leaflet-buttons-control-button")) {
      const box = button.closest(".button-container");
      const named = button.closest("[title]") || box;
      button.setAttribute("aria-label", named ? named.title : "");
    }
    show();
  }

  /* The line that a field is cut along, drawn on the same map into its own text. */
  const line = document.getElementById("line");
  const button = document.getElementById("draw-line");
  const way = L.featureGroup().addTo(map);
  let cutting = false;
  if (button) {
    button.hidden = false;
    button.addEventListener("click", () => {
      cutting = true;
      map.pm.enableDraw("Line");
      map.getContainer().scrollIntoView({ block: "center" });
    });
  }

  map.on("pm:create", ({ layer }) => {
    if (cutting) {
      cutting = false;
      way.clearLayers();
      layer.addTo(way);
      line.value = corners(layer.getLatLngs());
      return;
    }
    layer.addTo(drawn);
    write();
  });
  map.on("pm:cut", ({ originalLayer, layer }) => { drawn.removeLayer(originalLayer); layer.addTo(drawn); write(); });
  map.on("pm:remove", ({ layer }) => { drawn.removeLayer(layer); write(); });
  drawn.on("pm:edit pm:dragend pm:markerdragend pm:vertexadded pm:vertexremoved", write);
  drawn.on("layeradd", ({ layer }) => layer.on("pm:edit pm:vertexremoved pm:vertexadded", write));
  text.addEventListener("change", show);
  if (drawnAs) drawnAs.addEventListener("change", tools);
  tools();
  if (drawn.getLayers().length) map.fitBounds(drawn.getBounds().pad(0.5), { maxZoom: 19, animate: false });
})();
