// Unpacks the page's blocks in place, then starts the program. Everything is in this file: nothing is requested.
(async () => {
  for (const block of document.querySelectorAll('script[type="application/gzip"]')) {
    const packed = Uint8Array.from(atob(block.textContent ?? ""), (letter) => letter.charCodeAt(0));
    const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
    block.textContent = await new Response(stream).text();
  }
  const program = document.createElement("script");
  program.textContent = document.getElementById("program")?.textContent ?? "";
  document.head.append(program);
})();
