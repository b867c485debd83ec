package scenarios

import _ "embed"

//go:embed template.yaml
var template []byte

// Template returns a commented scenario to start from. It loads without
// error; every number in it is to be replaced.
func Template() []byte { return append([]byte(nil), template...) }
