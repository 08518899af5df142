package main

import (
	"syscall"
	"unsafe"
)

// ownConsole reports whether the console was made for this program alone, as it
// is after a double click: no other process is attached to it.
func ownConsole() bool {
	var ids [2]uint32
	n, _, _ := syscall.NewLazyDLL("kernel32.dll").NewProc("GetConsoleProcessList").Call(uintptr(unsafe.Pointer(&ids[0])), 2)
	return n == 1
}
