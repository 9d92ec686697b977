package spelling

import "strconv"

// Count is a number of things, as 1 run and 3 runs.
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
