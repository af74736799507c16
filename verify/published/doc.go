// Package published holds no program code. Its tests run the book of published
// checks in testdata/published through the functions that users' results come
// from, and write docs/verification.md from what they found.
package published
