// Follows the builds: loads the page again where it changed, at the place where the reader was, and shows what was found.
(() => {
  "use strict";
  const { build, style, news } = document.currentScript.dataset;
  const MOST = 100;
  const page = decodeURIComponent(location.pathname.slice(1)) || "index.html";
  const KEPT = `watch ${page}`;
  const UNFOLDED = "watch unfolded";
  const keep = (name, value) => { try { sessionStorage.setItem(name, JSON.stringify(value)); } catch { /* not kept */ } };
  const kept = (name) => { try { return JSON.parse(sessionStorage.getItem(name)); } catch { return null; } };
  const forget = (name) => { try { sessionStorage.removeItem(name); } catch { /* nothing was kept */ } };

  // Where the reader is: by what stands at the top of the window, since a page may have grown above it.
  const place = () => {
    const top = [...document.body.querySelectorAll("[id]")].find((each) => {
      const box = each.getBoundingClientRect();
      return box.height > 0 && box.top >= 0 && box.top < innerHeight;
    });
    return {
      x: scrollX, y: scrollY,
      id: scrollY > 0 && top ? top.id : "", offset: top ? top.getBoundingClientRect().top : 0,
      folds: [...document.querySelectorAll("details")].map((fold) => fold.open),
    };
  };
  const goBackTo = ({ x, y, id, offset, folds }) => {
    const now = [...document.querySelectorAll("details")];
    if (folds.length === now.length) now.forEach((fold, number) => { fold.open = folds[number]; });
    const top = id && document.getElementById(id);
    scrollTo({ left: x, top: top ? scrollY + top.getBoundingClientRect().top - offset : y, behavior: "instant" });
  };
  const before = kept(KEPT);
  if (before) {
    forget(KEPT);
    goBackTo(before);
    // Pictures may have moved it meanwhile, and the browser must not add a scroll of its own.
    addEventListener("load", () => { goBackTo(before); history.scrollRestoration = "auto"; });
  }

  // Something typed that the page has not yet taken over would be lost.
  const isTyping = () => {
    const field = document.activeElement;
    return Boolean(field?.isContentEditable || (field?.matches("input, textarea") && field.value !== field.defaultValue
      && !["checkbox", "radio", "button", "submit"].includes(field.type)));
  };
  let isDue = false;
  const loadAgain = () => {
    if (isTyping()) {
      if (!isDue) addEventListener("focusout", () => setTimeout(loadAgain), { once: true });
      isDue = true;
      return;
    }
    keep(KEPT, place());
    history.scrollRestoration = "manual";
    location.reload();
  };

  const uses = () => new Set([...document.querySelectorAll("link[href], script[src], img[src]")]
    .map((each) => decodeURIComponent(new URL(each.href ?? each.src, location).pathname.slice(1))));
  const concerns = (changed) => {
    if (changed === null) return true;
    const used = uses();
    return changed.some((path) => path === page || used.has(path) || path.endsWith(".css"));
  };

  // The strip stands in a tree of its own, so that neither the page's style nor the strip's touches the other.
  const host = document.createElement("aside");
  host.setAttribute("aria-label", "Findings");
  const root = host.attachShadow({ mode: "open" });
  const sheet = document.createElement("link");
  sheet.rel = "stylesheet";
  sheet.href = style;
  const strip = document.createElement("div");
  strip.className = "strip";
  strip.setAttribute("role", "status");
  root.append(sheet, strip);
  // Room below the page for the strip, so that it hides nothing.
  const padding = document.body.style.paddingBottom;
  const makeRoom = () => {
    document.body.style.paddingBottom = padding;
    if (host.isConnected) document.body.style.paddingBottom = `calc(${getComputedStyle(document.body).paddingBottom} + ${host.offsetHeight}px)`;
  };
  new ResizeObserver(makeRoom).observe(strip);

  const piece = (tag, name, text) => {
    const element = document.createElement(tag);
    element.className = name;
    element.textContent = text;
    return element;
  };
  const show = (...parts) => {
    strip.replaceChildren(...parts);
    if (!parts.length) {
      host.remove();
      makeRoom();
    } else if (!host.isConnected) document.body.append(host);
  };
  const counted = (counts) => [["error", "errors"], ["warning", "warnings"], ["advice", "pieces of advice"]]
    .filter(([one]) => counts[one])
    .map(([one, many]) => `${counts[one]} ${counts[one] > 1 ? many : one === "advice" ? "piece of advice" : one}`)
    .join(", ");
  const row = (finding) => {
    const item = document.createElement("li");
    item.append(
      piece("span", "weight", finding.severity),
      piece("span", "place", `${finding.file}:${finding.line}:${finding.column} ${finding.check}`),
      piece("div", "message", finding.message),
    );
    for (const reason of finding.because) {
      item.append(piece("div", "remedy", `because ${reason.message} (${reason.file}:${reason.line})`));
    }
    if (finding.try) item.append(piece("div", "remedy", `try ${finding.try}`));
    return item;
  };
  const findings = ({ library, findings: found, counts }) => {
    if (!found.length) return [];
    const fold = document.createElement("details");
    fold.open = kept(UNFOLDED) === true;
    fold.addEventListener("toggle", () => keep(UNFOLDED, fold.open));
    const list = document.createElement("ol");
    list.append(...found.slice(0, MOST).map(row));
    if (found.length > MOST) list.append(piece("li", "remedy", `and ${found.length - MOST} more, in the terminal`));
    fold.append(piece("summary", "", `${library}: ${counted(counts)}`), list);
    return [fold];
  };

  let source = null;
  let latest = null;
  const shown = () => {
    if (!latest) return [];
    const said = [];
    if (isDue) said.push(piece("p", "said", "This page has changed. It is loaded again when you leave the field."));
    if (latest.problem) said.push(piece("p", "said", latest.problem));
    return [...said, ...findings(latest.report)];
  };
  const listen = () => {
    source = new EventSource(`${news}?since=${build}`);
    source.addEventListener("build", (event) => {
      latest = JSON.parse(event.data);
      if (concerns(latest.changed)) loadAgain();
      show(...shown());
      document.documentElement.dataset.watched = latest.build;
    });
    source.addEventListener("error", () => {
      show(piece("p", "said", "Not watched: this page no longer follows its files. Start procgen watch again."), ...shown());
    });
  };
  const pause = () => { source?.close(); source = null; };
  // A browser holds few connections to one address: pages that nobody sees give theirs back.
  document.addEventListener("visibilitychange", () => {
    pause();
    if (document.visibilityState === "visible") listen();
  });
  addEventListener("pagehide", pause);
  addEventListener("pageshow", (event) => { if (event.persisted) { pause(); listen(); } });
  if (document.visibilityState === "visible") listen();
})();
