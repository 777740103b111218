package main

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"html"
	"net"
	"net/http"
	"path"
	"strings"

	"rickyard/calc/source"
	"rickyard/cmd/rickyard/publish"
	"rickyard/templates"
)

// watchScript reloads an open page when the workbook has changed.
//
//go:embed watch.js
var watchScript []byte

// Addresses of the server's own; no page of a workbook begins with a dot.
const (
	scriptAddress = "/.rickyard/watch.js"
	eventsAddress = "/.rickyard/events"
)

// localOnly refuses requests that a page of another site could have made by
// giving its own name this computer's address.
func localOnly(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host := r.Host
		if name, _, err := net.SplitHostPort(host); err == nil {
			host = name
		}
		if !strings.EqualFold(host, "localhost") && host != "127.0.0.1" {
			http.Error(w, "rickyard watch answers to localhost and 127.0.0.1 alone", http.StatusForbidden)
			return
		}
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			w.Header().Set("Allow", "GET, HEAD")
			http.Error(w, "only GET is answered", http.StatusMethodNotAllowed)
			return
		}
		h := w.Header()
		h.Set("Cache-Control", "no-store")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Referrer-Policy", "no-referrer")
		next.ServeHTTP(w, r)
	})
}

// ServeHTTP answers with a page of the last good workbook, and with what is
// wrong with the newest.
func (d *desk) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	switch r.URL.Path {
	case scriptAddress:
		w.Header().Set("Content-Type", contentType(".js"))
		_, _ = w.Write(watchScript)
		return
	case "/favicon.ico": // asked for by browsers; a workbook has none
		w.WriteHeader(http.StatusNoContent)
		return
	case eventsAddress:
		d.events(w, r)
		return
	}
	name := strings.TrimPrefix(r.URL.Path, "/")
	if name == "" {
		name = "index.html"
	}
	s := d.state()
	raw, ok := s.pages[name]
	switch {
	case ok && path.Ext(name) == ".html":
		raw = livePage(raw, s.id, errorBox(s.failure, true))
	case ok && path.Ext(name) == ".svg":
		w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; sandbox")
	case !ok:
		raw = plainPage(name, s.id, s.failure)
		name = ".html"
	}
	w.Header().Set("Content-Type", contentType(path.Ext(name)))
	if !ok && s.failure == nil {
		w.WriteHeader(http.StatusNotFound)
	}
	_, _ = w.Write(raw)
}

// events tells a page the state's id, now and whenever it changes.
func (d *desk) events(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/event-stream")
	control := http.NewResponseController(w)
	for {
		s := d.state()
		if _, err := fmt.Fprintf(w, "data: %s\n\n", s.id); err != nil {
			return
		}
		if err := control.Flush(); err != nil {
			return
		}
		select {
		case <-s.changed:
		case <-r.Context().Done():
			return
		}
	}
}

// contentType gives the type of a file by its ending; the system's own table,
// which may say anything, is not asked.
func contentType(ending string) string {
	kind, ok := map[string]string{
		".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
		".json": "application/json", ".csv": "text/csv; charset=utf-8", ".svg": "image/svg+xml", ".png": "image/png",
		".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".gif": "image/gif", ".webp": "image/webp",
	}[strings.ToLower(ending)]
	if !ok {
		return "application/octet-stream"
	}
	return kind
}

// livePage gives a finished page the script that reloads it, the right to ask
// this server for news, and at its top what is wrong.
func livePage(page []byte, id, box string) []byte {
	put := func(before, after, text string) {
		from := bytes.Index(page, []byte(before))
		if from < 0 {
			return
		}
		from += len(before)
		end := bytes.Index(page[from:], []byte(after))
		if end < 0 {
			return
		}
		end += from + len(after)
		page = bytes.Join([][]byte{page[:end], []byte(text), page[end:]}, nil)
	}
	put("<main", ">", box)
	// The edition that is one file allows no script but its own.
	put("script-src", " ", "'self' ")
	put("default-src", ";", " connect-src 'self';")
	put("<head", ">", liveScript(id))
	return page
}

func liveScript(id string) string {
	return fmt.Sprintf(`<script src="%s" data-events="%s" data-state="%s" defer></script>`, scriptAddress, eventsAddress, id)
}

// plainPage stands where the workbook has no page: none was ever built, or
// none has that name.
func plainPage(name, id string, failure error) []byte {
	said := errorBox(failure, false)
	if failure == nil {
		said = fmt.Sprintf(`<p>The workbook has no page called %s. <a href="/">To its front page</a>.</p>`, html.EscapeString(name))
	}
	return fmt.Appendf(nil, `<!doctype html>
<html lang="en"><head><meta charset="utf-8">%s
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; connect-src 'self'; style-src 'unsafe-inline'; script-src 'self'">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>Rickyard</title>
<style>:root{color-scheme:light dark}body{margin:2rem auto;max-width:60rem;padding:0 1rem;font:1rem/1.5 system-ui,sans-serif}pre{white-space:pre-wrap}</style></head>
<body><main id="main">%s</main></body></html>
`, liveScript(id), said)
}

// errorBox writes what is wrong, or nothing. below: it stands over a good page.
func errorBox(failure error, below bool) string {
	if failure == nil {
		return ""
	}
	var b strings.Builder
	b.WriteString(`<div class="error-box" role="alert">`)
	var errs source.Errors
	var one *source.Error
	if errors.As(failure, &one) && !errors.As(failure, &errs) {
		errs = source.Errors{one}
	}
	what := mistakes(len(errs)) + "."
	if len(errs) == 0 {
		what = failure.Error()
	}
	fmt.Fprintf(&b, "<p>The workbook can’t be built: %s", html.EscapeString(what))
	if below {
		b.WriteString(" What stands below is the last that could.")
	}
	b.WriteString("</p>")
	for i, e := range errs.Sorted() {
		if i == mostReported {
			fmt.Fprintf(&b, "<p>And %d more.</p>", len(errs)-i)
			break
		}
		fmt.Fprintf(&b, "<pre>%s</pre>", html.EscapeString(readable(e.Detail())))
	}
	b.WriteString("</div>")
	return b.String()
}

func mistakes(n int) string {
	if n == 1 {
		return "1 mistake"
	}
	return fmt.Sprintf("%d mistakes", n)
}

// lastWorkbook reads back what an earlier run published, or returns nil.
func lastWorkbook(dir string) templates.Pages {
	names, err := publish.Names(dir)
	if err != nil || len(names) == 0 {
		return nil
	}
	pages := templates.Pages{}
	for _, name := range names {
		raw, err := publish.Read(dir, name)
		if err != nil {
			return nil
		}
		pages[name] = raw
	}
	return pages
}
