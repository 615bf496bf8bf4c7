// SPDX-License-Identifier: Apache-2.0

//go:build !unix

package export

import "os"

// syncFolder does nothing: a folder cannot be opened for that here.
func syncFolder(string) error { return nil }

func notFolder(error) bool { return false }

func isStream(string) bool { return false }

func standardStream(string) *os.File { return nil }
