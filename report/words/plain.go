package words

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"
)

// Plain makes a text of unknown origin safe for a terminal: characters that
// steer it (control codes, marks that turn the direction of writing) stand as
// their escapes, "\x1b". Line ends stay.
func Plain(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '\n':
			b.WriteRune(r)
		case r == '\t':
			b.WriteByte(' ')
		case r < 0x100 && unicode.IsControl(r):
			fmt.Fprintf(&b, `\x%02x`, r)
		case unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp):
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// PlainJSON writes in a text of JSON, which holds nothing of that kind outside its
// strings, as JSON's own escapes what Plain takes out: it stays the same JSON.
func PlainJSON(text string) string {
	steers := func(r rune) bool {
		return r >= ' ' && r < 0x100 && unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp)
	}
	if !strings.ContainsFunc(text, steers) {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		switch {
		case !steers(r):
			b.WriteRune(r)
		case r > 0xFFFF:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&b, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}

// OneLine is Plain on one line.
func OneLine(text string) string {
	return strings.Join(strings.Fields(Plain(text)), " ")
}

var markdownMarks = strings.NewReplacer(
	`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`,
	"<", "&lt;", ">", "&gt;", "#", `\#`, "|", `\|`, "&", "&amp;", "~", `\~`,
)

// EscapeMarkdown keeps a text from being read as Markdown or HTML.
func EscapeMarkdown(text string) string {
	return markdownMarks.Replace(Plain(text))
}
