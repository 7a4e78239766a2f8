/** An open page kept true: it hears from its own server when there is something new, and takes that over where it stands. */

import { element, readData } from "./data.js";

/** @import {Data, Finding} from "./data.js" */

const PARTS = "header, #live, .flat, .attention, .list"; // what is served anew; the picture and what sets it stay
const ENDED = "The watch has ended: this page stays as it is. Start it again, and open the page that it names.";

export class Live {
  /** @param {(data: Data) => void} renew takes new data over */
  constructor(renew) {
    this.renew = renew;
    this.number = numberOf(document);
    this.newest = this.number;
    this.taking = false;
    this.served = parts(document).map((part) => part.innerHTML);
    /** @type {EventSource | null} */ this.stream = null;
    document.addEventListener("visibilitychange", () => this.#listen());
    this.#listen();
  }

  /** Listen while the page is seen: a browser lends a server few lines, and hidden pages would hold them. */
  #listen() {
    this.stream?.close();
    if (document.hidden) return;
    this.stream = new EventSource("?changes");
    this.stream.addEventListener("message", ({ data }) => {
      this.newest = Number(data);
      this.#take();
    });
    for (const kind of ["end", "error"]) this.stream.addEventListener(kind, () => this.#end());
  }

  #end() {
    this.stream?.close();
    const told = document.createElement("p");
    told.className = "ended";
    told.textContent = ENDED;
    element("live").replaceChildren(told);
    this.served = parts(document).map(() => "");
  }

  /** Take over the newest state; what is saved meanwhile is taken over after it. */
  async #take() {
    if (this.taking) return;
    this.taking = true;
    try {
      while (this.number !== this.newest) await this.#takeOne();
    } catch (error) {
      if (!(error instanceof TypeError)) throw error;
      this.#end(); // the server left between its word and its page
    } finally {
      this.taking = false;
    }
  }

  async #takeOne() {
    const answer = await fetch(location.pathname, { cache: "no-store" });
    if (!answer.ok) throw new TypeError(answer.statusText);
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    const [had, has] = [document, fresh].map((one) => one.getElementById("data"));
    if (has && !had) return location.reload(); // the first state that could be built
    const data = has && readData(await unpacked(has));
    this.number = numberOf(fresh);
    this.newest = Math.max(this.newest, this.number);
    document.title = fresh.title;
    this.#swap(fresh);
    if (data) this.renew(data);
  }

  /** @param {Document} fresh */
  #swap(fresh) {
    const now = parts(fresh);
    parts(document).forEach((part, n) => {
      const html = now[n].innerHTML;
      if (html !== this.served[n]) replace(part, now[n]);
      this.served[n] = html;
    });
  }
}

/** @param {Document} page */
function numberOf(page) {
  return Number(page.documentElement.dataset.live);
}

/** @param {Document} page @returns {HTMLElement[]} */
function parts(page) {
  return [...page.querySelectorAll(PARTS)].map((part) => /** @type {HTMLElement} */ (part));
}

/** Put what is in one element in another, and leave what is read and what has the keys where it was. @param {HTMLElement} old @param {HTMLElement} fresh */
function replace(old, fresh) {
  const held = document.activeElement;
  const inside = held !== old && old.contains(held);
  const scrolled = [...old.querySelectorAll(".findings, .wide")].map(({ scrollTop, scrollLeft }) => [scrollTop, scrollLeft]);
  old.replaceChildren(...fresh.childNodes);
  old.querySelectorAll(".findings, .wide").forEach((one, n) => one.scrollTo(scrolled[n]?.[1] ?? 0, scrolled[n]?.[0] ?? 0));
  if (!inside || !held) return;
  const same = [...old.querySelectorAll(held.tagName)].find((one) => says(one) === says(held));
  /** @type {HTMLElement | undefined} */ (same)?.focus({ preventScroll: true });
}

/** What something says, but for the remedy, which comes later. @param {Element} one */
function says(one) {
  return [...one.childNodes].filter((part) => !(part instanceof Element && part.matches(".remedy"))).map((part) => part.textContent).join("");
}

/** @param {HTMLElement} block */
async function unpacked(block) {
  const packed = Uint8Array.from(atob(block.textContent ?? ""), (letter) => letter.charCodeAt(0));
  return new Response(new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"))).text();
}

/**
 * The number of a finding in new data: the one that says the same, else the first that answers the same question; -1
 * where it is cured.
 * @param {Data} before @param {number} number @param {Data} now
 */
export function found(before, number, now) {
  const sought = before.findings[number];
  if (!sought) return -1;
  const asks = (/** @type {Data} */ data, /** @type {Finding} */ { check, place }) => `${check} ${data.places[place]?.name}`;
  const alike = now.findings.filter((one) => asks(now, one) === asks(before, sought));
  const bad = alike.filter(({ verdict }) => verdict !== "fits");
  const one = alike.find(({ says }) => says === sought.says) ?? bad[0] ?? (sought.verdict === "fits" ? alike[0] : undefined);
  return one ? now.findings.indexOf(one) : -1;
}
