package datalog

import (
	"encoding/binary"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// readText reads the whole of r, at most limit bytes, and gives it as UTF-8
// with line feeds. It adds to p what makes the file no text.
func readText(r io.Reader, limit int64, p *problems) (text string, notes []string) {
	data, err := io.ReadAll(io.LimitReader(r, limit+1))
	switch {
	case err != nil:
		p.add(0, "", "can't be read: "+err.Error(), "")
		return "", nil
	case int64(len(data)) > limit:
		p.add(0, "", fmt.Sprintf("file too large (got more than %d bytes, allowed %d)", limit, limit),
			"keep the columns and laps that matter, or a lower sample rate: 20 Hz is plenty")
		return "", nil
	}
	text, notes = decode(data)
	if i := strings.IndexFunc(text, isBinary); i >= 0 {
		p.add(1+strings.Count(text[:i], "\n"), "", fmt.Sprintf("not a text file (got the byte 0x%02x)", text[i]),
			"export the log as text with one row a sample (CSV)")
		return "", nil
	}
	if !strings.Contains(text, "\n") {
		text = strings.ReplaceAll(text, "\r", "\n")
	}
	return text, notes
}

// isBinary tells control characters that no text file holds. Tab, line ends,
// form feed and the end-of-file mark of old systems are let by.
func isBinary(r rune) bool {
	return r < ' ' && r != '\t' && r != '\n' && r != '\r' && r != '\f' && r != 0x1a
}

// decode turns UTF-8, UTF-16 of either byte order and, for what is neither,
// ISO 8859-1 into UTF-8.
func decode(data []byte) (text string, notes []string) {
	if order := utf16Order(data); order != nil {
		words := make([]uint16, len(data)/2)
		for i := range words {
			words[i] = order.Uint16(data[2*i:])
		}
		return strings.TrimPrefix(string(utf16.Decode(words)), "\ufeff"), []string{"read as UTF-16"}
	}
	if utf8.Valid(data) {
		return strings.TrimPrefix(string(data), "\ufeff"), nil
	}
	runes := make([]rune, len(data))
	for i, b := range data {
		runes[i] = rune(b)
	}
	return string(runes), []string{"read as ISO 8859-1 (it isn't valid UTF-8)"}
}

// utf16Order gives the byte order of UTF-16 text, nil for other text. Without
// a byte order mark it is told by every other byte of the start being zero.
func utf16Order(data []byte) binary.ByteOrder {
	if len(data) < 4 {
		return nil
	}
	switch {
	case data[0] == 0xff && data[1] == 0xfe:
		return binary.LittleEndian
	case data[0] == 0xfe && data[1] == 0xff:
		return binary.BigEndian
	}
	start := data[:min(len(data), 64)&^1]
	var zeros [2]int
	for i, b := range start {
		if b == 0 {
			zeros[i%2]++
		}
	}
	switch {
	case zeros[1] == len(start)/2 && zeros[0] == 0:
		return binary.LittleEndian
	case zeros[0] == len(start)/2 && zeros[1] == 0:
		return binary.BigEndian
	}
	return nil
}
