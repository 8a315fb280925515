package uitest

// CutOff makes the tab lose its connection, as far as scripts can tell.
const CutOff = "window.fetch = () => Promise.reject(new TypeError('no connection')); 0"
