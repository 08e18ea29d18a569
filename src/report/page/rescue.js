// Where the page itself cannot run, what stands in the document for browsers without scripts: the
// ways out and the marked drawing. In the JavaScript of 2009 (ECMA-262, 5th edition), so that old
// browsers run at least this.
function rescue(why) {
    var root = document.documentElement, still = document.getElementById("still");
    if (root.hasAttribute("data-still")) return;
    root.setAttribute("data-still", "");
    // Text in it was escaped when it was written, and a document made thus runs no scripts.
    var made = new DOMParser().parseFromString(document.getElementById("without").textContent, "text/html");
    still.appendChild(document.importNode(made.body, true));
    still.getElementsByTagName("p")[0].textContent = why + (document.getElementById("data").textContent === "" ? ""
        : " This is the result as it was worked out when the page was written.");
}

if (typeof WebAssembly !== "object") rescue("This browser has no WebAssembly, with which this page works out other bits and sizes.");
else if (!document.documentElement.hasAttribute("data-starts")) rescue("This browser cannot run this page.");
window.onerror = function () {
    if (!document.documentElement.hasAttribute("data-runs")) rescue("This browser cannot run this page.");
};
