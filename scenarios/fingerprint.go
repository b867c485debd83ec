package scenarios

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
)

// Fingerprint returns what tells two scenarios apart by all that a simulation takes from
// them: a SHA-256, hexadecimal, of every value as it stands after the changes of a
// variant and of [Scenario.With], and of the bytes of the files that they name. Comments,
// line breaks and the file's own name are no part of it.
func (s *Scenario) Fingerprint() string {
	s.source.memory.Lock()
	defer s.source.memory.Unlock()
	h := sha256.New()
	fmt.Fprintf(h, "%q\n", s.VariantName)
	s.source.tree.digest(h, s.source.memory.files)
	return hex.EncodeToString(h.Sum(nil))
}

// digest puts a part of a file to a hash, every text in quotes so that no two parts
// read alike.
func (n *node) digest(h hash.Hash, files fileHashes) {
	fmt.Fprintf(h, "(%d %t %q %q", n.kind, n.assumed, n.basis, n.source)
	switch {
	case n.distribution != nil:
		fmt.Fprintf(h, " %v", *n.distribution)
	case n.kind == scalarNode:
		fmt.Fprintf(h, " %q %s", n.text, files[n.text])
	}
	for _, e := range n.entries {
		fmt.Fprintf(h, " %q:", e.key)
		e.value.digest(h, files)
	}
	for _, item := range n.items {
		item.digest(h, files)
	}
	io.WriteString(h, ")")
}

// fileHashes are the SHA-256 of the files that a scenario names, by their names.
type fileHashes map[string]string

// hashing reads a file and keeps the hash of what was read of it once it is closed.
func (f fileHashes) hashing(name string, r io.ReadCloser) io.ReadCloser {
	return &hashedFile{ReadCloser: r, hash: sha256.New(), name: name, files: f}
}

type hashedFile struct {
	io.ReadCloser
	hash  hash.Hash
	name  string
	files fileHashes
}

// Read reads on.
func (f *hashedFile) Read(p []byte) (int, error) {
	n, err := f.ReadCloser.Read(p)
	f.hash.Write(p[:n])
	return n, err
}

// Close closes the file.
func (f *hashedFile) Close() error {
	f.files[f.name] = hex.EncodeToString(f.hash.Sum(nil))
	return f.ReadCloser.Close()
}
