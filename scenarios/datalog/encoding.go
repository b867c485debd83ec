package datalog

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// readText reads the whole of r, at most limit bytes, and gives it as UTF-8
// with line feeds. It adds to p what makes the file no text.
func readText(r io.Reader, limit int64, p *problems) (text string, notes []string) {
	data, err := readWhole(io.LimitReader(r, limit+1))
	switch {
	case err != nil:
		p.Add(0, "", "can't be read: "+err.Error(), "")
		return "", nil
	case int64(len(data)) > limit:
		p.Add(0, "", fmt.Sprintf("file too large (got more than %d bytes, allowed %d)", limit, limit),
			"keep the columns and laps that matter, or a lower sample rate: 20 Hz is plenty")
		return "", nil
	}
	if n := strings.Count(data, "\n"); n > maxLines {
		p.Add(0, "", fmt.Sprintf("too many lines (got %d, allowed %d)", n, maxLines), "keep the laps that matter, or a lower sample rate: 20 Hz is plenty")
		return "", nil
	}
	text, notes = decode(data)
	if i := strings.IndexFunc(text, isBinary); i >= 0 {
		p.Add(1+strings.Count(text[:i], "\n"), "", fmt.Sprintf("not a text file (got the byte 0x%02x)", text[i]),
			"export the log as text with one row a sample (CSV)")
		return "", nil
	}
	if !strings.Contains(text, "\n") {
		text = strings.ReplaceAll(text, "\r", "\n")
	}
	return text, notes
}

// readWhole reads all of r, a piece at a time, so that no more than twice of it is
// in memory.
func readWhole(r io.Reader) (string, error) {
	const piece = 1 << 20
	var pieces [][]byte
	total := 0
	for {
		one := make([]byte, piece)
		n, err := io.ReadFull(r, one)
		pieces, total = append(pieces, one[:n]), total+n
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			break
		}
		if err != nil {
			return "", err
		}
	}
	var b strings.Builder
	b.Grow(total)
	for i, one := range pieces {
		b.Write(one)
		pieces[i] = nil
	}
	return b.String(), nil
}

// isBinary tells control characters that no text file holds. Tab, line ends,
// form feed and the end-of-file mark of old systems are let by.
func isBinary(r rune) bool {
	return r < ' ' && r != '\t' && r != '\n' && r != '\r' && r != '\f' && r != 0x1a
}

// decode turns UTF-8, UTF-16 of either byte order and, for what is neither,
// ISO 8859-1 into UTF-8.
func decode(data string) (text string, notes []string) {
	if order := utf16Order(data); order != nil {
		return strings.TrimPrefix(fromUTF16(data, order), "\ufeff"), []string{"read as UTF-16"}
	}
	if utf8.ValidString(data) {
		return strings.TrimPrefix(data, "\ufeff"), nil
	}
	var b strings.Builder
	b.Grow(len(data) + len(data)/8)
	for i := range len(data) {
		b.WriteRune(rune(data[i]))
	}
	return b.String(), []string{"read as ISO 8859-1 (it isn't valid UTF-8)"}
}

// fromUTF16 turns UTF-16 into UTF-8; a half of a pair stands as U+FFFD.
func fromUTF16(data string, order binary.ByteOrder) string {
	var b strings.Builder
	b.Grow(len(data) / 2)
	word := func(i int) rune { return rune(order.Uint16([]byte(data[i : i+2]))) }
	for i := 0; i+1 < len(data); i += 2 {
		r := word(i)
		if utf16.IsSurrogate(r) {
			pair := rune(utf8.RuneError)
			if i+3 < len(data) {
				pair = utf16.DecodeRune(r, word(i+2))
			}
			if r = pair; pair != utf8.RuneError {
				i += 2
			}
		}
		b.WriteRune(r)
	}
	return b.String()
}

// utf16Order gives the byte order of UTF-16 text, nil for other text. Without
// a byte order mark it is told by every other byte of the start being zero.
func utf16Order(data string) binary.ByteOrder {
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
	for i := range len(start) {
		if start[i] == 0 {
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
