package main

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

const someCommit = "0123456789abcdef0123456789abcdef01234567"

func buildInfo(module string, settings ...string) *debug.BuildInfo {
	info := &debug.BuildInfo{GoVersion: "go1.26.8", Main: debug.Module{Path: "sumpward", Version: module}}
	for i := 0; i < len(settings); i += 2 {
		info.Settings = append(info.Settings, debug.BuildSetting{Key: settings[i], Value: settings[i+1]})
	}
	return info
}

// The line tells apart what may calculate differently: it is what partial results are
// compared by.
func TestVersionLineNamesTheCommitOnce(t *testing.T) {
	stamped := func(modified string) []string {
		return []string{"vcs.revision", someCommit, "vcs.time", "2026-11-26T01:54:08Z", "vcs.modified", modified}
	}
	for name, c := range map[string]struct {
		info *debug.BuildInfo
		want string
	}{
		"nothing stamped":       {buildInfo("(devel)"), "sumpward (devel), go1.26.8, scenario format 1"},
		"no version":            {buildInfo(""), "sumpward (unknown), go1.26.8, scenario format 1"},
		"between releases":      {buildInfo("v0.0.0-20261126015408-0123456789ab", stamped("false")...), "sumpward v0.0.0-20261126015408-0123456789ab, go1.26.8, scenario format 1"},
		"modified":              {buildInfo("v0.0.0-20261126015408-0123456789ab+dirty", stamped("true")...), "sumpward v0.0.0-20261126015408-0123456789ab+dirty, go1.26.8, scenario format 1"},
		"a release":             {buildInfo("v1.2.0", stamped("false")...), "sumpward v1.2.0 0123456789ab, go1.26.8, scenario format 1"},
		"devel":                 {buildInfo("(devel)", stamped("true")...), "sumpward (devel) 0123456789ab modified, go1.26.8, scenario format 1"},
		"fetched as a module":   {buildInfo("v1.2.0"), "sumpward v1.2.0, go1.26.8, scenario format 1"},
		"a short commit's name": {buildInfo("(devel)", "vcs.revision", "12"), "sumpward (devel) 12, go1.26.8, scenario format 1"},
	} {
		assert.Equal(t, c.want, buildOf(c.info, "linux", "amd64").Program, name)
	}
}

func TestVersionForPeople(t *testing.T) {
	info := buildInfo("v1.2.0", "vcs.revision", someCommit, "vcs.time", "2026-11-26T01:54:08Z", "vcs.modified", "true")
	assert.Equal(t, `sumpward   v1.2.0
commit     0123456789abcdef0123456789abcdef01234567, modified since
committed  2026-11-26 01:54 UTC
built      with go1.26.8, for plan9/arm
reads      scenarios of format 1
licence    Apache-2.0; of what it is built from: sumpward version --notices
`, buildOf(info, "plan9", "arm").String())
	assert.Equal(t, `sumpward   (devel)
commit     not known: built without version control
built      with go1.26.8, for linux/amd64
reads      scenarios of format 1
licence    Apache-2.0; of what it is built from: sumpward version --notices
`, buildOf(buildInfo("(devel)"), "linux", "amd64").String())
}
