// SPDX-License-Identifier: Apache-2.0

// Package web serves lozenge's own pages to the browsers of this computer, and to
// those of its network where she says so.
//
// A page's address has a token of 130 random bits, without which nothing answers;
// a request that comes from a page of somebody else's, or by a name that is not this
// computer's, is refused (see guard.go); and nothing that is served can load anything
// from elsewhere.
package web
