// Package leaf reads YAML: the one way for the files of the data and for the
// blocks of chapters. It knows places (every node, and every character of a
// value, is found again in the file that the user wrote), what to refuse, the
// slips that people make, and how errors name and quote what they found. What
// the keys of a text mean is its reader's business.
package leaf
