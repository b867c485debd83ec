package report

import (
	"fmt"
	"io"
	"strings"
)

// Format is how a report is written.
type Format string

// The formats.
const (
	Text     Format = "table"
	CSV      Format = "csv"
	JSON     Format = "json"
	Markdown Format = "markdown"
)

// Formats lists the formats, the usual one first.
var Formats = []Format{Text, CSV, JSON, Markdown}

// ParseFormat returns the format of a name.
func ParseFormat(name string) (Format, error) {
	var known []string
	for _, f := range Formats {
		if string(f) == name {
			return f, nil
		}
		known = append(known, string(f))
	}
	return "", fmt.Errorf("unknown format %q: use %s", name, strings.Join(known, ", "))
}

// Report is what a command found.
type Report interface {
	Document() *Document         // for people
	WriteCSV(w io.Writer) error  // one table
	WriteJSON(w io.Writer) error // everything
}

// Write writes a report in a format.
func Write(w io.Writer, r Report, f Format) error {
	switch f {
	case CSV:
		return r.WriteCSV(w)
	case JSON:
		return r.WriteJSON(w)
	case Markdown:
		return r.Document().WriteMarkdown(w)
	}
	return r.Document().WriteText(w)
}
