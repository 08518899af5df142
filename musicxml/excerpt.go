package musicxml

// MeasureText is a part's measure element as it stands in the document, "" where
// the part has none. The measure is an index into Score.Measures.
func (f *File) MeasureText(part, measure int) string {
	if part < 0 || part >= len(f.sheet.parts) {
		return ""
	}
	cells := f.sheet.parts[part].cells
	if measure < 0 || measure >= len(cells) || cells[measure].node == nil {
		return ""
	}
	n := cells[measure].node
	return f.tree.src[n.start:n.end]
}

// PartText is the part's score-part element as it stands in the document: its
// name and instruments; "" if the document lists no such part.
func (f *File) PartText(part int) string {
	list := f.tree.root.find("part-list")
	if list == nil || part < 0 || part >= len(f.Score.Parts) {
		return ""
	}
	for n := list.child; n != nil; n = n.next {
		if n.name == "score-part" && n.attr("id") == f.Score.Parts[part].ID {
			return f.tree.src[n.start:n.end]
		}
	}
	return ""
}
