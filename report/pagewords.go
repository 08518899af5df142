package report

import "hairpin/dynamics/page"

// pageText says what on the page gives a level: "crescendo to f", "p, sf".
func pageText(c page.Cause, stress string) string {
	text := causeText(c)
	if c.Then != "" {
		text += ", then " + c.Then + " at once"
	}
	if stress != "" {
		text += ", " + stress
	}
	return text
}

// causeText says what gives a level, without what cuts it off.
func causeText(c page.Cause) string {
	switch c.Kind {
	case page.Unmarked:
		return "unmarked"
	case page.ToMark:
		return c.Text + " to " + c.Mark
	case page.ToNothing:
		return c.Text + " to nothing"
	case page.About:
		return c.Text + " to about " + c.Mark
	case page.MoreThan:
		return c.Text + " to more than " + c.Mark
	case page.LessThan:
		return c.Text + " to less than " + c.Mark
	case page.BackTo:
		return c.Text + " back to " + c.Mark
	case page.LittleMore:
		return c.Text + " to a little more than " + c.Mark + ", then " + c.Mark + " again"
	case page.After:
		return "after " + c.Text
	case page.Homeward:
		return "back to the running level"
	case page.AsPart:
		return "as " + c.Text
	case page.AsMeasure:
		return "as in measure " + c.Text
	case page.AsEnding:
		return "as before the first ending"
	}
	return c.Text
}
