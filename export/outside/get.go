// SPDX-License-Identifier: Apache-2.0

package outside

import (
	"io"
	"net/http"
	"testing"
)

// Get fetches an address and returns its answer whole.
func Get(t testing.TB, address string) (status int, body string, h http.Header) {
	t.Helper()
	answer, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	data, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(data), answer.Header
}
