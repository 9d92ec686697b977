package web

import (
	"errors"
	"os"
	"os/exec"
	"runtime"
)

// openBrowser shows an address in the user's browser, where there is a screen
// to show it on.
func openBrowser(url string) error {
	var command []string
	switch runtime.GOOS {
	case "windows":
		command = []string{"rundll32", "url.dll,FileProtocolHandler", url}
	case "darwin":
		command = []string{"open", url}
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return errors.New("there is no screen")
		}
		command = []string{"xdg-open", url}
	}
	c := exec.Command(command[0], command[1:]...)
	if err := c.Start(); err != nil {
		return err
	}
	go c.Wait() // only so that no zombie stays
	return nil
}
