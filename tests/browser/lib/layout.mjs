// What a layout must not do: cut texts off, let things lie over each other, run off the side, or
// make a target too small to hit.

/** Everything a finger or a pointer is meant to hit. */
const CONTROLS = "button, a[href], input:not([type=hidden]), select, summary, [role=slider], [role=button]";
/** WCAG 2.2, 2.5.8: targets of at least 24 by 24 CSS pixels. */
const LEAST = 24;

/** One line for each thing that is cut off, lies over another, or runs off the side. */
export const crowding = (page) =>
  page.evaluate((controls) => {
    const out = [];
    const name = (e) => `${e.dataset?.testid ?? e.getAttribute("class") ?? e.tagName} “${(e.textContent || e.value || "").trim().slice(0, 40)}”`;
    const shown = (e) => e.checkVisibility({ visibilityProperty: true }) && !e.closest(".visually-hidden");
    const over = document.documentElement.scrollWidth - innerWidth;
    if (over > 0) out.push(`the page is ${over} px wider than the screen`);

    /** What of an element can be seen: its box, less what the boxes round it cut off. */
    const seen = (e) => {
      let { left, top, right, bottom } = e.getBoundingClientRect();
      for (let p = e.parentElement; p; p = p.parentElement) {
        if (getComputedStyle(p).overflow === "visible") continue;
        const b = p.getBoundingClientRect();
        [left, top] = [Math.max(left, b.left), Math.max(top, b.top)];
        [right, bottom] = [Math.min(right, b.right), Math.min(bottom, b.bottom)];
      }
      return { left, top, right, bottom, empty: right - left < 1 || bottom - top < 1 };
    };

    for (const e of document.querySelectorAll("#app *")) {
      if (e.closest("svg") || !shown(e) || getComputedStyle(e).display === "inline") continue;
      const says = [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
      const holds = says || e.matches("button, .button, label, legend, th, td");
      const scrolls = /auto|scroll/.test(getComputedStyle(e).overflowX);
      if (holds && !scrolls && e.scrollWidth > e.clientWidth + 1) out.push(`${name(e)} is ${e.scrollWidth - e.clientWidth} px too wide for its box`);
    }
    // A label that is wider than the box that holds it, where that box does not scroll sideways.
    for (const e of document.querySelectorAll("#app button, #app .button, #app label, #app .pick, #app .number")) {
      if (!shown(e)) continue;
      const panel = e.closest(".panel, .drawer-body, .page, .dialog, header, .sheet-side");
      if (panel && e.getBoundingClientRect().right > panel.getBoundingClientRect().right + 1) out.push(`${name(e)} runs out of ${panel.className}`);
    }

    const hits = [...document.querySelectorAll(controls)].filter((e) => !e.closest("svg, .switch, #panic") && shown(e));
    const boxes = hits.map((e) => [e, seen(e)]).filter(([, b]) => !b.empty);
    boxes.forEach(([e, a], i) => {
      for (const [f, b] of boxes.slice(i + 1)) {
        if (e.contains(f) || f.contains(e)) continue;
        const [w, h] = [Math.min(a.right, b.right) - Math.max(a.left, b.left), Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top)];
        if (w > 1.5 && h > 1.5) out.push(`${name(e)} and ${name(f)} lie over each other`);
      }
    });

    for (const svg of document.querySelectorAll("svg.sheet")) {
      const edge = svg.getBoundingClientRect();
      for (const text of svg.querySelectorAll("text")) {
        if (text.closest("[clip-path]")) continue;
        const b = text.getBoundingClientRect();
        if (b.left < edge.left - 1 || b.right > edge.right + 1) out.push(`the text “${text.textContent}” leaves the sheet`);
      }
    }
    return out;
  }, CONTROLS);

/** One line for each target that is too small. */
export const small = (page) =>
  page.evaluate(([controls, least]) => {
    const target = (e) => e.closest("label") ?? e.querySelector(".target") ?? e;
    return [...document.querySelectorAll(controls)]
      .filter((e) => e.checkVisibility({ visibilityProperty: true }) && !e.closest("#panic"))
      // A link within a sentence is as high as its line (2.5.8, inline).
      .filter((e) => !(e.tagName === "A" && getComputedStyle(e).display === "inline"))
      .filter((e) => !e.matches(".visually-hidden") || e.closest("label"))
      .map((e) => [e, target(e).getBoundingClientRect()])
      .filter(([, b]) => b.width < least - 0.5 || b.height < least - 0.5)
      .map(([e, b]) => `${e.dataset.testid ?? e.outerHTML.slice(0, 60)}: ${b.width.toFixed(0)} × ${b.height.toFixed(0)}`);
  }, [CONTROLS, LEAST]);

/** From now on adds up how far things jump without the viewer's doing (cumulative layout shift). */
export const watchShift = (page) =>
  page.addInitScript(() => {
    globalThis.shifted = 0;
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) if (!entry.hadRecentInput) globalThis.shifted += entry.value;
    }).observe({ type: "layout-shift", buffered: true });
  });

/** One line for each pair of words on the sheet that lie over each other, and for each that leaves its view. */
export const collisions = (page) =>
  page.evaluate(() => {
    const out = [];
    const shown = (e) => e.checkVisibility({ visibilityProperty: true, opacityProperty: true }) && e.textContent.trim();
    const sheet = document.querySelector("svg.sheet");
    const edge = sheet.getBoundingClientRect();
    const inner = ({ left, top, right, bottom }) => ({ left: left + 1, top: top + 2.5, right: right - 1, bottom: bottom - 2.5 });
    /** What of a text can be seen: its box, less what its view cuts off. */
    const seen = (text) => {
      const clip = /#(clip-\w+)/.exec(text.closest("[clip-path]")?.getAttribute("clip-path"))?.[1];
      const b = inner(text.getBoundingClientRect());
      const rect = clip && sheet.querySelector(`#${clip} rect`);
      if (!rect) return b;
      const [x, y, w, h] = ["x", "y", "width", "height"].map((name) => Number(rect.getAttribute(name)));
      const [left, top] = [edge.left + x, edge.top + y];
      return { left: Math.max(b.left, left), top: Math.max(b.top, top), right: Math.min(b.right, left + w), bottom: Math.min(b.bottom, top + h) };
    };
    const words = [];
    // Each line of the drawing's own words; what an open detail covers is not read.
    const open = sheet.querySelector("[data-testid=detail]")?.getBoundingClientRect();
    const covered = (b) => open && b.left < open.right && b.right > open.left && b.top < open.bottom && b.bottom > open.top;
    for (const text of sheet.querySelectorAll("text")) {
      const b = text.getBoundingClientRect();
      if (!shown(text) || b.width === 0 || text.closest("[data-testid=detail]") || text.matches(".zone")) continue;
      if (covered(b)) continue;
      words.push([text.textContent.trim(), seen(text)]);
    }
    // What of the page lies over the plan.
    for (const e of document.querySelectorAll(".drawers summary, .drawers > .button, .strip-tabs button, .bench-cards > *")) {
      const b = e.getBoundingClientRect();
      if (shown(e) && b.top < edge.bottom) words.push([e.textContent.trim().slice(0, 20), inner(b)]);
    }
    const plan = sheet.querySelector("#clip-plan rect");
    const [x, y, w, h] = ["x", "y", "width", "height"].map((name) => Number(plan.getAttribute(name)));
    const view = { left: edge.left + x, top: edge.top + y, right: edge.left + x + w, bottom: edge.top + y + h };
    for (const text of sheet.querySelectorAll("[clip-path='url(#clip-plan)'] text")) {
      const b = inner(text.getBoundingClientRect());
      const leaves = b.left < view.left || b.right > view.right || b.top < view.top || b.bottom > view.bottom;
      if (shown(text) && leaves) out.push(`“${text.textContent.trim()}” leaves the plan`);
    }
    words.forEach(([a, p], i) => {
      for (const [b, q] of words.slice(i + 1)) {
        const [w, h] = [Math.min(p.right, q.right) - Math.max(p.left, q.left), Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top)];
        if (w > 0 && h > 0) out.push(`“${a}” and “${b}” lie over each other by ${w.toFixed(0)} × ${h.toFixed(0)}`);
      }
    });
    return out;
  });
