package page

// Terms of loudness in Italian, English, German and French, after K. W.
// Gehrkens 1914, "Music Notation and Terminology", ch. XII (marked G), and
// common practice without a source (unmarked). Written without accents
// (piu, tres, starker), each with what it means for the reader in words.go.

type role int

const (
	isLevel role = iota // value is the level
	isRamp              // value is the sign and size
	isFade              // a ramp that also dies away to the next rest
	isStep              // value in steps
	isTint              // value is the level leant to
	isAccent
	more // modifiers: più
	less
	little
	much
	slowly
	atOnce
	always
	nearly
	half
	extreme // possibile
	toward  // al
	silence
	negate
	echo
	first
	again // second time
	joint // and
)

type term struct {
	text  string // phrases of the same meaning, separated by |
	role  role
	value float64
}

// terms are tried longest first at each word.
func terms() []term { return append(append(levelTerms(), rampTerms()...), modifierTerms()...) }

func levelTerms() []term {
	return []term{
		{"piano|pno piano|soft|softly|leise|sanft|doux|doucement|zart", isLevel, P}, // G: piano
		{"forte|loud|loudly|laut|kraftig|fort", isLevel, F},                         // G: forte
		{"pianissimo|very soft|very softly|tres doux|sehr leise", isLevel, PP},
		{"fortissimo|very loud|tres fort|sehr laut", isLevel, FF},
		{"pianississimo", isLevel, PPP},
		{"fortississimo", isLevel, FFF},
		{"mezzoforte|mezzo forte|half loud|halblaut|mezzo-forte|mezzo f|moderately loud|mittelstark", isLevel, MF},
		{"mezzopiano|mezzo piano|mezzo-piano|mezzo p|moderately soft", isLevel, MP},
		{"mezza voce|mezzo voce|m v|a mezza voce|half voice|mit halber stimme|halbe stimme|a mi voix|a mi-voix|demi voix|demi-voix", isLevel, 3.5}, // G: half voice
		{"sotto voce|s v|undertone|under the breath|a voix basse|mit leiser stimme", isLevel, 2.5},                                                 // G: subdued
		{"fp|forte piano|fortepiano", isAccent, 0},
		{"estinto|barely audible|kaum horbar|a peine|hardly audible", isLevel, PPP},
		{"so laut wie moglich|as loud as possible|le plus fort possible|il piu forte possibile|tutta forza|tutta la forza|con tutta forza|con tutta la forza|a tutta forza|mit aller kraft|mit voller kraft", isLevel, FFF},
		{"so leise wie moglich|as soft as possible|as softly as possible|le plus doux possible|il piu piano possibile", isLevel, PPP}, // G: possibile
		{"con forza|with force|mit kraft|avec force|con tutta|forza|grandioso|strepitoso|strepituoso|tempestuoso", isTint, F},         // G: con forza
		{"dolce|gently|lieblich", isTint, P}, // G: sweetly
		{"dolcissimo|dolciss|delicatissimo", isTint, PP},
		{"delicato|delicatamente|leggiero|leggierissimo|leggieriss|leggiermente|lontano|da lontano|lointain|tres lointain|distant|aus der ferne|wie aus der ferne|in der ferne|piangendo|flebile", isTint, P},
		{"una corda|mit dampfer|con sordino|con sord|con sordini|mit verschiebung|sourdine|avec sourdine|muted", isTint, P}, // G §129
		{"sforzando|sforzato|sforz|forzando|forzato|forz", isAccent, sfSize},                                                // G §122
	}
}

func rampTerms() []term {
	return []term{
		{"crescendo|cresc|cres|cre scen do|cres cen do|crescen do|cre scendo|cre|crescendosi|accrescendo|aumentando|growing|getting louder|becoming louder|louder and louder|gradually louder|anschwellend|lauter werdend|starker werdend|zunehmend|wachsend|steigernd|immer lauter|immer starker|lauter werden|en augmentant|augmentez|en croissant|croissez|en elargissant|de plus en plus fort|renforcez|building", isRamp, 1},                                                 // G §124
		{"decrescendo|decresc|decres|decreso|decr|diminuendo|dimin|dim|dimi nu en do|di mi nu en do|diminuen do|de cre scen do|decre scen do|de cres cen do|sminuendo|scemando|raddolcendo|deficiendo|getting softer|becoming softer|softer and softer|gradually softer|growing softer|leiser werdend|leiser werden|schwacher werdend|abnehmend|abnehmen|nachlassend|immer leiser|immer schwacher|en diminuant|diminuez|de plus en plus doux|de moins en moins fort", isRamp, -1}, // G §126
		{"calando|mancando|morendo|moriente|perdendo|perdendosi|smorzando|smorz|smorzato|diluendo|diluendosi|estinguendo|svanendo|spegnendo|spegnendosi|fade|fading|fade out|fade away|fading away|dying|dying away|die away|verklingend|verklingen|ersterbend|ersterben|verloschend|verhallend|verhauchend|en se perdant|se perdant|en s'eteignant|en mourant|en s'effacant|s'eloignant|en s'eloignant", isFade, -1},                                                             // G §127
		{"allargando|largando|incalzando|con accrescimento", isRamp, 0.5}, // G §111: broader and fuller
		{"rinforzando|rinforz|rinf|rinforzato", isRamp, 1},                // G §123: a passage louder
		{"louder|lauter|starker|plus fort|stronger", isStep, 1},
		{"softer|quieter|leiser|schwacher|plus doux|moins fort|sanfter", isStep, -1},
		{"messa di voce", isRamp, 0.5},
	}
}

func modifierTerms() []term {
	return []term{
		{"piu|plus|ancora piu|noch|more|still|encore plus|encore|ancora", more, 0}, // G §96
		{"meno|moins|weniger|less", less, 0},
		{"poco|un poco|un peu|etwas|a little|slightly|ein wenig|un pochettino|pochissimo|un pochino|leicht|peu", little, 0},                               // G
		{"molto|assai|di molto|sehr|tres|very|much|viel|beaucoup|bien|ben", much, 0},                                                                      // G
		{"poco a poco|a poco a poco|peu a peu|nach und nach|allmahlich|gradually|little by little|bit by bit|a poco|poi a poi|poco per volta", slowly, 0}, // G
		{"subito|sub|suddenly|subitamente|plotzlich|subit|subitement|at once|sudden|soudain", atOnce, 0},                                                  // G
		{"sempre|immer|toujours|always|stets", always, 0},                                                                                                 // G
		{"quasi|nearly|almost|fast|presque|beinahe", nearly, 0},
		{"mezzo|halb|half|moderately|massig", half, 0}, // G
		{"possibile|as possible|wie moglich|possible|moglichst", extreme, 0},
		{"al|a|to|bis|bis zum|bis zu|fino al|fin al|jusqu'au|jusqu'a|until|sin al|sino al|ad|zum", toward, 0},
		{"niente|nulla|nothing|silence|nichts|rien", silence, 0},
		{"non|senza|ohne|no|sans|not|nicht|without|kein", negate, 0},
		{"eco|echo|in eco|quasi eco|wie ein echo|come un eco|en echo|as an echo|like an echo", echo, 0},
		{"1st time|first time|1 volta|prima volta|1a volta|la prima volta|1x|erstes mal|das erste mal|1 mal|premiere fois|1 fois|1re fois", first, 0},
		{"2nd time|second time|2 volta|seconda volta|2a volta|la seconda volta|2x|zweites mal|das zweite mal|2 mal|bei der wiederholung|on repeat|deuxieme fois|2 fois|2e fois|seconde fois|on the repeat|nella ripetizione", again, 0},
		{"e|ed|et|und|and|ma|but|mais|aber|poi|then|dann|puis|wieder|again|doch", joint, 0},
	}
}
