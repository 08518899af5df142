module hairpin

go 1.26

require (
	github.com/beevik/etree v1.8.1
	github.com/tetratelabs/wazero v1.12.0 // indirect
	golang.org/x/sys v0.44.0 // indirect
)
