// still is one picture that may be kept beside a reading: made here, and sent by nothing but its own form.
const still = (() => {
  const place = "still", most = 400e3, longest = 1280; // bytes, px
  const made = (source, width, height) => {
    const scale = Math.min(1, longest / Math.max(width, height));
    const paper = Object.assign(document.createElement("canvas"), { width: Math.round(width * scale), height: Math.round(height * scale) });
    paper.getContext("2d").drawImage(source, 0, 0, paper.width, paper.height);
    let text = "";
    for (const quality of [0.85, 0.7, 0.5]) {
      text = paper.toDataURL("image/jpeg", quality);
      if (text.length * 3 / 4 < most) break;
    }
    return text;
  };
  const remember = (text) => { try { sessionStorage.setItem(place, text); } catch { /* full, or not allowed: then a file is chosen */ } };
  const recall = () => { try { return sessionStorage.getItem(place); } catch { return null; } };
  const forget = () => { try { sessionStorage.removeItem(place); } catch { /* nothing is there */ } };
  return { made, remember, recall, forget };
})();

(() => {
  if (document.querySelector("[data-still-kept]")) still.forget();
  const input = document.querySelector("input[data-still]");
  if (!input) return;
  const figure = document.getElementById("stillfigure");
  const fill = (text) => {
    const bytes = Uint8Array.from(atob(text.slice(text.indexOf(",") + 1)), (c) => c.charCodeAt(0));
    const carrier = new DataTransfer();
    carrier.items.add(new File([bytes], "still.jpg", { type: "image/jpeg" }));
    input.files = carrier.files;
    figure.querySelector("img").src = text;
    figure.hidden = false;
  };
  input.addEventListener("change", async () => {
    figure.hidden = true;
    if (!input.files[0]) return;
    try {
      const picture = await createImageBitmap(input.files[0]);
      fill(still.made(picture, picture.width, picture.height));
    } catch { /* the server says what is wrong with it */ }
  });
  const waiting = still.recall();
  if (waiting) fill(waiting);
})();

// A clip is decoded here and stays here: only the numbers of its marks are sent.
(() => {
  const tool = document.getElementById("videotool");
  if (!tool) return;
  tool.hidden = false;
  const by = (id) => document.getElementById(id);
  const view = by("clipview"), said = by("clipsaid"), next = by("marknext");
  const pen = view.getContext("2d");
  const ground = 960; // px, width of the canvas
  let source = null, size = [0, 0], address = "";
  let zoom = 1, middle = [0, 0], cross = [0, 0], moment = 0, steps = Promise.resolve();
  let moments = [null, null, null], heights = {};
  const clip = Object.assign(document.createElement("video"), { muted: true, playsInline: true, preload: "auto" });

  const scale = () => view.width / size[0] * zoom;
  const toPicture = (x, y) => [(x - view.width / 2) / scale() + middle[0], (y - view.height / 2) / scale() + middle[1]];
  const toView = (u, v) => [(u - middle[0]) * scale() + view.width / 2, (v - middle[1]) * scale() + view.height / 2];
  const frame = () => 1 / Math.max(1, Number(by("frame_rate")?.value) || 60);

  const sign = (u, v, colour, arm) => {
    const [x, y] = toView(u, v);
    pen.strokeStyle = colour;
    pen.lineWidth = 2;
    pen.beginPath();
    pen.moveTo(x - arm, y); pen.lineTo(x + arm, y); pen.moveTo(x, y - arm); pen.lineTo(x, y + arm);
    pen.stroke();
  };

  const draw = () => {
    if (!source) return;
    const [x, y] = toView(0, 0);
    pen.clearRect(0, 0, view.width, view.height);
    pen.drawImage(source, x, y, size[0] * scale(), size[1] * scale());
    for (const option of next.options) {
      const pair = (by(option.value)?.value ?? "").trim().split(/[\s,]+/).map(Number);
      if (pair.length === 2 && pair.every(Number.isFinite)) sign(pair[0], pair[1], "#ffd400", 9);
    }
    sign(cross[0], cross[1], "#00e5ff", 18);
    by("clipat").textContent = source === clip ? `${moment.toFixed(4)} s of ${clip.duration.toFixed(1)} s` : "";
  };

  const open = (what, width, height, words) => {
    source = what;
    size = [width, height];
    view.width = ground;
    view.height = Math.round(ground * Math.min(height / width, 1.2));
    middle = [width / 2, height / 2];
    cross = [width / 2, height / 2];
    zoom = Math.min(1, view.height / (ground * height / width));
    for (const [id, value] of [["width_px", width], ["height_px", height]]) if (by(id)) by(id).value = value;
    by("clipwork").hidden = false;
    said.textContent = words;
    draw();
  };

  // seek shows the frame at a time; the moment is the frame's own where the browser tells it. A frame
  // that was still on its way when the search began is not the one asked for: the newest counts.
  let seeks = 0;
  const seek = (time) => new Promise((done) => {
    const at = Math.max(0, Math.min(clip.duration - 1e-3, time));
    const was = moment, mine = ++seeks;
    let heard = false;
    const hear = (now, facts) => {
      if (mine !== seeks) return;
      heard = true;
      moment = facts.mediaTime;
      draw();
      const asked = moment < at + 2e-3 && moment > at - 0.25 && (moment !== was || was > at - frame());
      if (asked) done();
      clip.requestVideoFrameCallback(hear);
    };
    clip.requestVideoFrameCallback?.(hear);
    clip.addEventListener("seeked", () => setTimeout(() => {
      if (mine === seeks && !heard) moment = at;
      draw();
      done();
    }, clip.requestVideoFrameCallback ? 400 : 0), { once: true });
    clip.currentTime = at;
  });

  const step = (n) => {
    if (source !== clip) return;
    steps = steps.then(() => seek(moment + (n + 0.5) * frame()));
  };

  // readRate takes the frame rate from the times of the first frames.
  const readRate = async () => {
    if (!clip.requestVideoFrameCallback || !by("frame_rate")) return;
    const times = [];
    const hear = (now, facts) => {
      times.push([facts.mediaTime, facts.presentedFrames]);
      if (times.length < 30) clip.requestVideoFrameCallback(hear);
    };
    clip.requestVideoFrameCallback(hear);
    try { await clip.play(); } catch { return; }
    await new Promise((done) => setTimeout(done, 700));
    clip.pause();
    const gaps = times.slice(1).map(([t, n], i) => (n - times[i][1] === 1 ? t - times[i][0] : 0)).filter((gap) => gap > 1e-4).sort((a, b) => a - b);
    if (gaps.length < 4) return;
    const usual = gaps[Math.floor(gaps.length / 2)];
    by("frame_rate").value = Math.round(100 / usual) / 100;
    if (gaps[gaps.length - 1] > 1.5 * usual) said.textContent += " Its frames are not evenly spaced: their own times are used.";
  };

  clip.addEventListener("error", () => {
    if (clip.src) said.textContent = "This browser cannot decode that clip. Save it as MP4 (H.264) or WebM and choose it again, or type marks below.";
  });
  clip.addEventListener("loadedmetadata", async () => {
    if (!clip.videoWidth) return void (said.textContent = "That file has sound alone, no picture.");
    const upright = clip.videoHeight > clip.videoWidth ? " It is upright: hold the phone level for more pixels on the boat." : "";
    open(clip, clip.videoWidth, clip.videoHeight, `${clip.videoWidth} × ${clip.videoHeight} px. It stays on this device.${upright}`);
    await readRate();
    await seek(0);
    tool.dataset.ready = "yes";
  });

  by("clip").addEventListener("change", (event) => {
    const file = event.target.files[0];
    if (!file) return;
    if (address) URL.revokeObjectURL(address);
    address = "";
    still.forget();
    delete tool.dataset.ready;
    if (file.type.startsWith("image/")) {
      createImageBitmap(file).then((image) => open(image, image.width, image.height, `${image.width} × ${image.height} px. It stays on this device.`),
        () => { said.textContent = "This browser cannot decode that picture."; });
      return;
    }
    said.textContent = "Opening the clip …";
    address = URL.createObjectURL(file);
    clip.src = address;
  });

  // The frame on screen waits on this device for whoever keeps the reading and its picture.
  by("videoform")?.addEventListener("submit", () => { if (source) still.remember(still.made(source, ...size)); });

  const mark = () => {
    const name = next.value;
    if (name === "edge" || name === "surface") {
      heights[name] = cross[1];
      said.textContent = name === "edge" ? "Edge marked. Now the water under it." : "Height marked.";
    } else {
      by(name).value = `${cross[0].toFixed(1)} ${cross[1].toFixed(1)}`;
      said.textContent = `${next.selectedOptions[0].text} marked.`;
    }
    next.selectedIndex = Math.min(next.selectedIndex + 1, next.options.length - 1);
    draw();
  };

  const fingers = new Map();
  let apart = 0, moved = false;
  const spot = (event) => {
    const box = view.getBoundingClientRect();
    return [(event.clientX - box.left) * view.width / box.width, (event.clientY - box.top) * view.height / box.height];
  };
  const zoomBy = (by) => { zoom = Math.max(0.3, Math.min(24, zoom * by)); draw(); };
  view.addEventListener("pointerdown", (event) => { fingers.set(event.pointerId, spot(event)); moved = false; apart = 0; view.setPointerCapture(event.pointerId); });
  view.addEventListener("pointermove", (event) => {
    const was = fingers.get(event.pointerId);
    if (!was) return;
    const now = spot(event);
    if (Math.hypot(now[0] - was[0], now[1] - was[1]) < 8 && !moved) return;
    moved = true;
    fingers.set(event.pointerId, now);
    if (fingers.size === 1) {
      middle = [middle[0] - (now[0] - was[0]) / scale(), middle[1] - (now[1] - was[1]) / scale()];
      return draw();
    }
    const [a, b] = [...fingers.values()];
    const gap = Math.hypot(a[0] - b[0], a[1] - b[1]);
    if (apart) zoomBy(gap / apart);
    apart = gap;
  });
  for (const kind of ["pointerup", "pointercancel"]) {
    view.addEventListener(kind, (event) => {
      const alone = fingers.size === 1 && !moved;
      fingers.delete(event.pointerId);
      if (kind === "pointercancel" || !alone || !source) return;
      cross = toPicture(...spot(event));
      mark();
    });
  }
  view.addEventListener("wheel", (event) => { event.preventDefault(); zoomBy(event.deltaY < 0 ? 1.2 : 1 / 1.2); }, { passive: false });
  view.addEventListener("keydown", (event) => {
    const by = (event.shiftKey ? 10 : 1) * Math.max(1, 1 / scale());
    const way = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] }[event.key];
    if (way) {
      cross = [cross[0] + way[0], cross[1] + way[1]];
      if (zoom > 1) middle = [...cross];
      draw();
    } else if (event.key === "Enter") mark();
    else if (event.key === ",") step(-1);
    else if (event.key === ".") step(1);
    else if (event.key === "+") zoomBy(1.5);
    else if (event.key === "-") zoomBy(1 / 1.5);
    else return;
    event.preventDefault();
  });
  tool.addEventListener("click", (event) => {
    const { step: n, zoom: z, moment: k } = event.target.dataset;
    if (n) step(Number(n));
    if (z) zoomBy(Number(z));
    if (k === undefined || source !== clip) return;
    moments[k] = moment;
    said.textContent = `${event.target.textContent}: ${moment.toFixed(4)} s.`;
    if (moments.some((m) => m === null)) return;
    const height = heights.edge !== undefined && heights.surface !== undefined ? ` ${(heights.surface - heights.edge).toFixed(1)}` : "";
    const list = by("strokes");
    list.value = `${list.value.trim()}\n${moments.map((m) => m.toFixed(4)).join(" ")}${height}`.trim();
    said.textContent = "Stroke added. Continue with the next, or measure.";
    moments = [null, null, null];
    heights = {};
  });
})();
