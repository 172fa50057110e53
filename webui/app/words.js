/**
 * Every word of the interface that does not come from the catalog. One place, so that a second language is one more
 * file like it and a wording is found by looking here.
 */

export const words = {
  app: {
    name: "fillfirst",
    opening: "Opening…",
    needsFirstLoad: "This page is not on the phone yet. Connect to your server’s network once and open it again.",
  },
  letIn: {
    title: "Let this phone in",
    says: "On the server, ask for a code. Type it here; it works once.",
    code: "Code from the server",
    does: "Let me in",
    wrong: "That code is wrong, used or too old. Ask the server for a new one.",
    unreachable: "The server does not answer. Connect to its network and try again.",
  },
  bars: {
    updateReady: "A newer version is ready.",
    takeUpdate: "Use it now",
    unpaired: "The server no longer knows this phone. Your entries are safe here; let the phone in again to send them.",
    letInAgain: "Let it in again",
    refused: "The server did not take some entries. They stay on this phone.",
    lifeboat: "This phone’s storage failed. Entries are kept in an emergency store: save them to a file now.",
    full: "This phone’s storage is full. Free some space; entries are kept in an emergency store.",
    blocked: "fillfirst is open in another tab with an older version. Close that tab.",
    saveFile: "Save to a file",
  },
  errors: {
    notSaved: "Not saved: this phone’s storage refused it. What you entered is still on this screen. Free some space, then press again.",
    noCatalog: "This phone does not hold the procedures of this visit yet. Connect to the server once.",
    unknownVisit: "This phone does not know that visit.",
    updateWhileOpen: "A visit is open. Close it first, then take the new version.",
  },
};
