package disk

import "runtime"

// hasModes says whether a file's permission bits mean something here.
const hasModes = runtime.GOOS != "windows"
