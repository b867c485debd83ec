package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
)

// flagError puts a value that a flag can't take to plain words.
func flagError(_ *cobra.Command, err error) error {
	var number *strconv.NumError
	if !errors.As(err, &number) {
		return err
	}
	wanted := "a whole number of 1 or more is wanted"
	switch {
	case number.Func == "ParseBool":
		wanted = "true or false is wanted"
	case errors.Is(number, strconv.ErrRange) && !strings.HasPrefix(number.Num, "-"):
		wanted = "the number is too large"
	case number.Func == "ParseUint":
		wanted = "a whole number of 0 or more is wanted"
	}
	return fmt.Errorf("%s: %s (got %s)", flagName(err), wanted, number.Num)
}

// flagName cuts the flag out of `invalid argument "3.7" for "--seed" flag: …`.
func flagName(err error) string {
	_, rest, _ := strings.Cut(err.Error(), `" for "`)
	name, _, _ := strings.Cut(rest, `" flag: `)
	return name
}
