// Package browser opens what dray writes in a real browser: at the widths of a
// telephone, a tablet and a desk, in print, and on a dark screen. It is a module
// of its own, so that the program does not carry its tools.
//
// The tests need a Chromium (apt-get install chromium, or CHROMIUM names one),
// and `npm ci` in this folder for the accessibility gate and the validator.
// SCREENSHOTS names a folder in which the pictures are kept.
package browser
