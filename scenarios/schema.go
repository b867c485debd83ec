package scenarios

import (
	"bytes"
	"encoding/json"
	"strings"

	"sumpward/scenarios/units"
)

// object is a JSON object of a schema.
type object = map[string]any

// Schema returns the JSON Schema (draft 2020-12) of a scenario, for editors.
// It comes from the same catalogue as decoding; it checks the shape of a file,
// not the numbers in its texts.
func Schema() []byte {
	s := blockSchema(fields().root)
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "sumpward scenario"
	s["required"] = []string{"scenario", "carry_over", "separator", "drain", "duty"}
	s["$defs"] = object{
		"basis":        object{"enum": []string{string(Measured), string(Stated), string(Assumed)}},
		"path":         object{"type": "string", "pattern": `^[^.]+(\.[^.]+)*$`},
		"number":       object{"type": []string{"string", "number"}},
		"unit":         object{"anyOf": []object{{"type": "string"}, {"const": 0}}},
		"distribution": distributionSchema(),
		"exact":        form([]string{"value"}, object{"value": object{"$ref": "#/$defs/number"}}),
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(s); err != nil {
		panic(err) // maps of texts always encode
	}
	return b.Bytes()
}

func blockSchema(f *Field) object {
	properties := object{}
	for _, c := range f.children {
		properties[c.Name()] = c.schema()
	}
	return object{"type": "object", "properties": properties, "additionalProperties": false, "description": f.Doc}
}

// schema returns the schema of one field.
func (f *Field) schema() object {
	s := f.shape()
	s["description"] = f.describe()
	if f.Kind == QuantityKind || f.Kind == ExactKind || f.Kind == ChoiceKind || f.Kind == TextKind {
		s["examples"] = []string{f.Example}
	}
	return s
}

func (f *Field) shape() object {
	text := object{"type": "string"}
	switch f.Kind {
	case BlockKind:
		return blockSchema(f)
	case ListKind:
		list := object{"type": "array", "items": blockSchema(f)}
		if f.Path != "breathers" {
			list["minItems"] = 1
		}
		return list
	case QuantityKind:
		return object{"anyOf": append(f.written(), object{"$ref": "#/$defs/distribution"})}
	case ExactKind:
		return object{"anyOf": append(f.written(), object{"$ref": "#/$defs/exact"})}
	case DuringKind:
		return object{"anyOf": []object{text, {"$ref": "#/$defs/distribution"}, blockSchema(f)}}
	case ChoiceKind:
		return object{"enum": f.Choices}
	case CountKind:
		return object{"type": "integer", "minimum": 0}
	case TimesKind:
		return object{"anyOf": []object{text, {"type": "array", "items": text, "minItems": 1, "maxItems": mostSessions}}}
	case PointKind:
		return pointSchema()
	case PointsKind:
		return object{"type": "array", "items": pointSchema(), "minItems": 2, "maxItems": mostPoints}
	case FittingsKind:
		return object{"type": "array", "items": object{"enum": writtenFittings()}}
	case NamesKind:
		properties := object{}
		for _, c := range f.Choices {
			properties[c] = text
		}
		return object{"type": "object", "properties": properties, "additionalProperties": false}
	case PathsKind:
		return object{"type": "array", "items": object{"$ref": "#/$defs/path"}, "minItems": 2, "maxItems": 2}
	case InputsKind:
		return object{"type": "array", "items": object{"$ref": "#/$defs/path"}}
	case WordsKind:
		return object{"type": "array", "items": text}
	case VariantsKind:
		return object{"type": "object", "additionalProperties": object{"type": "object", "propertyNames": object{"$ref": "#/$defs/path"}}}
	}
	return text
}

// written is how a quantity stands in one text: bare numbers for numbers and
// fractions, else 0 alone is without a unit.
func (f *Field) written() []object {
	if f.Dimension == units.Number || f.Dimension == units.Fraction {
		return []object{{"$ref": "#/$defs/number"}}
	}
	return []object{{"$ref": "#/$defs/unit"}}
}

func pointSchema() object {
	return object{"type": "array", "items": object{"$ref": "#/$defs/number"}, "minItems": 3, "maxItems": 3}
}

// distributionSchema is a quantity written as a block.
func distributionSchema() object {
	number := object{"$ref": "#/$defs/number"}
	list := object{"type": "array", "items": number, "minItems": 1}
	forms := []object{form([]string{"value"}, object{"value": number, "at_least": number, "at_most": number})}
	for _, l := range laws {
		properties := object{}
		for _, key := range l.keys() {
			properties[key] = number
		}
		required := []string{"distribution"}
		for _, p := range l.parameters {
			if p == "shape" || p == "values" || p == "weights" {
				properties[p] = list
			}
			if p != "weights" && (shortNames[p] == "" || l.name == "beta") {
				required = append(required, p) // the others have a short name too
			}
		}
		properties["distribution"] = object{"const": l.name}
		forms = append(forms, form(required, properties))
	}
	table := object{"type": "object", "properties": object{"values": list, "weights": list}, "required": []string{"values"}, "additionalProperties": false}
	return object{"anyOf": append(forms, form([]string{"table"}, object{"table": table}))}
}

// form is one way of writing a quantity as a block; basis and source go with
// each.
func form(required []string, properties object) object {
	properties["basis"], properties["source"] = object{"$ref": "#/$defs/basis"}, object{"type": "string"}
	return object{"type": "object", "properties": properties, "required": required, "additionalProperties": false}
}

// describe says in words what a field is, what it may be and what stands for
// it when it is left out.
func (f *Field) describe() string {
	var b strings.Builder
	b.WriteString(f.Doc)
	if f.Per != "" {
		b.WriteString(" (" + f.Per + ")")
	}
	if f.Low != "" || f.High != "" {
		b.WriteString("; allowed " + f.Low + " to " + f.High)
	}
	if f.Default != "" {
		b.WriteString("; left out: " + f.Default + " (" + f.Source + ")")
	}
	return b.String()
}
