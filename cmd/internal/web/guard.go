// SPDX-License-Identifier: Apache-2.0

package web

import (
	"crypto/rand"
	"crypto/subtle"
	"net"
	"net/http"
	"net/netip"
	"strings"
	"time"
)

// newToken returns 130 random bits as text.
func newToken() string { return strings.ToLower(rand.Text()) }

// same compares tokens, and takes as long whatever they have in common.
func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

// onceCode is a token that works once, until some time; "" is none.
type onceCode struct {
	code  string
	until time.Time
}

// onceLasts is how long a browser has to start.
const onceLasts = 30 * time.Second

// guard knows what the server may be called.
type guard struct {
	port  string
	names map[string]bool // hosts, without port
	any   bool            // any host that is written as an IP address
}

// newGuard is for a server that was told to listen at the host of asked and
// does at addr. A name that a page of somebody else's has pointed here is
// never an IP address, so on a server for the whole network every address is
// good.
func newGuard(asked string, addr *net.TCPAddr) guard {
	_, port, _ := net.SplitHostPort(addr.String())
	g := guard{port: port, names: map[string]bool{}}
	if addr.IP.IsLoopback() {
		for _, n := range []string{"localhost", "127.0.0.1", "::1", addr.IP.String()} {
			g.names[n] = true
		}
		return g
	}
	g.any = true
	g.names["localhost"] = true
	if host, _, err := net.SplitHostPort(asked); err == nil && host != "" {
		g.names[strings.ToLower(host)] = true
	}
	return g
}

// host reports whether the server goes by that name, as it stands in the Host
// header: with the port, which is left out only when it is 80.
func (g guard) host(value string) bool {
	host, port, err := net.SplitHostPort(value)
	if err != nil {
		host, port = strings.Trim(value, "[]"), "80"
	}
	if port != g.port {
		return false
	}
	if g.names[strings.ToLower(host)] {
		return true
	}
	_, err = netip.ParseAddr(host)
	return g.any && err == nil
}

// allows reports whether a request comes from the page itself or from
// something that is no page at all. Browsers say where a request comes from
// (RFC 6454 section 7; W3C Fetch Metadata, section 2).
func (g guard) allows(r *http.Request) bool {
	if !g.host(r.Host) {
		return false
	}
	for _, origin := range r.Header.Values("Origin") {
		if origin != "http://"+r.Host {
			return false
		}
	}
	for _, site := range r.Header.Values("Sec-Fetch-Site") {
		if site != "same-origin" && site != "none" {
			return false
		}
	}
	return true
}

// headers go with every answer.
var headers = map[string]string{
	"Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
		"base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types 'none'",
	"X-Content-Type-Options":       "nosniff",
	"X-Frame-Options":              "DENY",
	"Referrer-Policy":              "no-referrer",
	"Cache-Control":                "no-store",
	"Cross-Origin-Opener-Policy":   "same-origin",
	"Cross-Origin-Embedder-Policy": "require-corp",
	"Cross-Origin-Resource-Policy": "same-origin",
	"Permissions-Policy":           "screen-wake-lock=(self), fullscreen=(self), camera=(), microphone=(), geolocation=()",
}
