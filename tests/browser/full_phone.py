"""A phone without room: fills what the browser gives the page, down to the last kilobyte."""

FILL_UP = """async () => {
  const noise = (bytes) => {
    const all = new Uint8Array(bytes);
    for (let at = 0; at < bytes; at += 65536) crypto.getRandomValues(all.subarray(at, at + 65536));
    return all;
  };
  const opening = indexedDB.open("benchbell");
  await new Promise((done) => { opening.onsuccess = done; });
  for (let kilobytes = 1000; kilobytes >= 1; kilobytes /= 10) {
    for (let n = 0, fits = true; fits; n++) {
      const tx = opening.result.transaction("meta", "readwrite");
      tx.objectStore("meta").put(noise(kilobytes * 1000), `ballast ${kilobytes} ${n}`);
      fits = await new Promise((done) => { tx.oncomplete = () => done(true); tx.onabort = () => done(false); });
    }
  }
  opening.result.close();
}"""
