/** Files that leave the app: to another app where the phone can, else as a download. */

const REVOKE_AFTER_MS = 60_000;

/** A phone that will not share after all, as when making the file outlasted the tap, downloads it. @param {File} file */
export async function passOn(file) {
  if (navigator.canShare?.({ files: [file] })) {
    const isOver = await navigator.share({ files: [file] }).then(
      () => true,
      (error) => error instanceof DOMException && error.name === "AbortError",
    );
    if (isOver) return;
  }
  download(file);
}

/** @param {File} file */
export function download(file) {
  const address = URL.createObjectURL(file);
  Object.assign(document.createElement("a"), { href: address, download: file.name }).click();
  setTimeout(() => URL.revokeObjectURL(address), REVOKE_AFTER_MS);
}
