package engrave

import (
	"embed"
	"io"
	"path"
)

// noticeFiles are the licences of what is vendored, the notice first.
//
//go:embed vendored/NOTICE vendored/LGPL-3.txt vendored/GPL-3.txt vendored/OFL-1.1.txt
var noticeFiles embed.FS

// WriteNotices writes where the engraver and the fonts come from, and the
// texts of their licences.
func WriteNotices(w io.Writer) error {
	for _, name := range [...]string{"NOTICE", "LGPL-3.txt", "GPL-3.txt", "OFL-1.1.txt"} {
		text, err := noticeFiles.ReadFile(path.Join("vendored", name))
		if err != nil {
			return err
		}
		if _, err := w.Write(append(text, '\n')); err != nil {
			return err
		}
	}
	return nil
}
