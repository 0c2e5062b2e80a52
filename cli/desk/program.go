package desk

import (
	"crypto/rand"
	"fmt"
	"os"
)

// ThisProgram tells this running program apart from all others, on this machine and elsewhere.
func ThisProgram() string {
	host, err := os.Hostname()
	if err != nil {
		host = "a computer"
	}
	return fmt.Sprintf("%.60s, process %d, %s", host, os.Getpid(), rand.Text()[:8])
}
