package scenarios

import "strings"

// unknown tells of a key that the block doesn't have, and which one may have
// been meant.
func (d *decoder) unknown(block *Field, path string, e entry) {
	if len(d.problems) >= mostListed { // not worth a hint
		d.problem(e.line, join(path, shorten(e.key)), "unknown field", "")
		return
	}
	meant := map[string]string{}
	var names []string
	for _, c := range block.children {
		meant[c.Name()] = c.Name()
		names = append(names, c.Name())
	}
	for _, c := range block.children {
		for _, s := range c.Synonyms {
			if meant[s] == "" {
				meant[s] = c.Name()
				names = append(names, s)
			}
		}
	}
	hint := "known here: " + strings.Join(names[:len(block.children)], ", ")
	if near := suggest(e.key, names); near != "" {
		hint = "did you mean " + meant[near] + "?"
		d.meant[join(path, meant[near])] = true
	}
	if elsewhere := d.catalogue.placeOf(e.key, path); elsewhere != "" && meant[plainName(e.key)] == "" {
		hint = e.key + " belongs to " + elsewhere
	}
	d.problem(e.line, join(path, shorten(e.key)), "unknown field", hint)
}

// unknownAmong is unknown for a block whose keys are plain names.
func (d *decoder) unknownAmong(names []string, path string, e entry) {
	hint := "known here: " + strings.Join(names, ", ")
	if near := suggest(e.key, names); near != "" {
		hint = "did you mean " + near + "?"
	}
	d.problem(e.line, join(path, shorten(e.key)), "unknown field", hint)
}

// placeOf names the one block, other than here, that has a field of that name.
func (c *catalogue) placeOf(key, here string) string {
	place := ""
	for _, f := range c.list {
		if f.Name() != key {
			continue
		}
		block := strings.TrimSuffix(strings.TrimSuffix(f.Path, key), ".")
		switch {
		case block == here:
			return ""
		case place != "":
			return "" // more than one
		case block == "":
			place = "the top of the file, without indentation"
		default:
			place = strings.TrimSuffix(block, ".*")
		}
	}
	return place
}
