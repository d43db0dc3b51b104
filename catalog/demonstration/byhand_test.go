package demonstration

// By hand, in the words at the head of each product's file.
var byHand = []struct{ product, with, gives string }{
	{"brackwater-table", "", `
		top length = 72 in
		top width = 36 in
		top thickness = 1 1/4 in
		base/leg straight = 25 1/2 in
		base/long-rail long point = 57 in
		base/end-rail long point = 28 in
		base/crossbar pieces = 1
		base/crossbar straight = 26 in
		base/tab pieces = 10
		carton top length = 76 in
		carton top width = 40 in
		carton top depth = 5 1/4 in
		carton base length = 61 in
		carton base width = 32 in
		carton base depth = 31 3/4 in`},
	// 84 - 15 = 69, 69/30 and 69/18 upwards are 3 and 4; 36 1/2 - 8 = 28 1/2
	{"brackwater-table", "length=7 ft; width=36 1/2 in; stretcher=h-stretcher", `
		base/long-rail long point = 69 in
		base/end-rail long point = 28 1/2 in
		base/crossbar pieces = 2
		base/crossbar straight = 26 1/2 in
		base/tab pieces = 10
		tab-screw pieces = 10
		base/stretcher/end-bar straight = 24 1/2 in
		base/stretcher/long-bar straight = 66 in`},
	{"lodden-round", "legs=bent", `
		base/ring pieces = 1
		base/ring outside = 12 in
		base/bent-leg pieces = 3
		base/bent-leg run 1 = 24 5/8 in
		base/bent-leg run 2 = 3 in
		base/bent-leg run 3 = 5 1/2 in
		bumper pieces = 6
		carton glass length = 46 in
		carton glass depth = 4 1/2 in`},
	{"lodden-round", "glass=clear-3-8", `
		base/ring pieces = 2
		base/ring outside = 28 in
		base/leg pieces = 3
		base/leg straight = 28 1/4 in`},
	// under wood: 29 - 1 1/4 - 1/4, nothing for bumpers, and tabs instead
	{"lodden-round", "top=wood; diameter=60 in", `
		base/leg pieces = 4
		base/leg straight = 27 1/2 in
		base/tab pieces = 8
		wood-top length = 60 in
		wood-top thickness = 1 1/4 in`},
	{"sallow-bench", "", `
		base/leg pieces = 4
		base/leg straight = 14 5/8 in
		base/long-rail long point = 48 in
		base/end-rail long point = 16 in
		base/slat pieces = 5
		base/slat straight = 15 3/4 in
		cushion length = 48 in
		cushion width = 16 in
		cushion height = 3 in
		strap pieces = 4`},
	{"sallow-bench", "length=5 ft", `
		base/leg pieces = 6
		base/slat pieces = 7
		strap pieces = 6`},
	{"pell-stool", "", `
		base/bent-frame run 1 = 12 3/8 in
		base/bent-frame run 2 = 2 in
		base/bent-frame run 3 = 11 1/4 in
		base/bent-frame run 5 = 12 3/8 in
		base/rail straight = 14 1/2 in
		base/slat straight = 14 1/2 in
		cushion length = 16 in`},
	{"wenlow-console", "", `
		top length = 60 in
		top width = 14 in
		top thickness = 1 in
		base/leg straight = 29 3/4 in
		base/long-rail long point = 58 in
		base/end-rail long point = 12 in
		base/crossbar pieces = 1
		base/crossbar straight = 10 in
		base/tab pieces = 10
		carton top length = 64 in
		carton top depth = 5 in
		carton base depth = 35 in`},
	// levelling feet of 1/2 in: 32 - 1 - 1 - 1/2
	{"wenlow-console", "shelf=wood; foot=leveller; species=white-ash; wood_finish=tanbark", `
		shelf length = 55 3/4 in
		shelf width = 9 3/4 in
		shelf thickness = 3/4 in
		base/leg straight = 29 1/2 in
		base/shelf-frame/long-rail straight = 56 in
		base/shelf-frame/end-rail straight = 10 in
		tab-screw pieces = 20
		carton top depth = 5 3/4 in`},
	{"wenlow-coffee", "shelf=bars", `
		base/leg straight = 14 3/4 in
		base/long-rail long point = 46 in
		base/end-rail long point = 22 in
		base/tab pieces = 8
		base/shelf/end straight = 20 in
		base/shelf/bar pieces = 6
		base/shelf/bar straight = 44 in`},
	{"wenlow-coffee", "top=glass", `
		glass-top length = 48 in
		base/leg straight = 15 1/8 in
		bumper pieces = 8`},
	{"wenlow-desk", "", `
		base/leg-frame pieces = 2
		base/leg-frame/upright long point = 28 in
		base/leg-frame/head long point = 24 in
		base/rail straight = 50 in
		base/crossbar pieces = 1
		base/crossbar straight = 20 in
		base/tab pieces = 8
		cable-ring pieces = 1`},
	{"hollin-bench", "", `
		seat length = 48 in
		seat width = 14 in
		seat thickness = 1 in
		base/leg straight = 15 3/4 in
		base/long-rail long point = 46 in
		base/end-rail long point = 12 in
		base/tab pieces = 8
		tab-screw pieces = 8
		carton whole length = 52 in
		carton whole width = 18 in
		carton whole depth = 22 in`},
	{"lodden-side", "", `
		base/foot-ring outside = 16 in
		base/top-ring outside = 12 in
		base/foot-spoke straight = 6 3/4 in
		base/top-spoke straight = 5 in
		base/post straight = 20 in
		glass-top length = 18 in`},
	{"lodden-nest", "", `
		first-top length = 22 in
		second-top length = 19 in
		third-top length = 16 in
		base/first/frame run 1 = 19 in
		base/first/frame run 3 = 9 1/2 in
		base/first/rail straight = 19 in
		base/second/frame run 5 = 17 1/2 in
		base/second/rail straight = 16 in
		base/third/frame run 1 = 16 in
		base/third/rail straight = 13 in
		screw pieces = 12`},
	{"osmere-etagere", "back=bars", `
		pane pieces = 4
		pane length = 33 5/8 in
		pane width = 11 5/8 in
		base/post straight = 71 1/2 in
		base/shelf-frame pieces = 4
		base/shelf-frame/long long point = 34 in
		base/shelf-frame/short long point = 12 in
		base/back-bar straight = 34 in
		bumper pieces = 16`},
	{"hesselow-extension", "", `
		boat-top length = 84 in
		boat-top width = 42 in
		boat-top end width = 34 in
		boat-leaf pieces = 2
		boat-leaf width = 18 in
		base/leg straight = 26 in
		base/long-rail straight = 50 in
		base/end-rail straight = 22 in
		pin pieces = 9
		carton top length = 46 in
		carton leaves depth = 6 1/2 in`},
	{"hesselow-pedestal", "", `
		stone-round length = 42 in
		base/column straight = 27 1/8 in
		base/foot straight = 14 in
		base/arm straight = 13 in
		carton base depth = 31 5/8 in`},
	{"hesselow-pedestal", "top=glass-boat", `
		glass-boat end width = 26 in
		base/column straight = 27 7/8 in`},
	{"hesselow-screen", "", `
		pane length = 29 5/8 in
		base/rail long point = 30 in`},
	{"osmere-mirror", "", `
		pane length = 39 5/8 in
		pane width = 29 5/8 in
		base/side long point = 40 in
		base/end long point = 30 in
		base/cleat straight = 24 in
		clip pieces = 10`},
	{"osmere-mirror", "shape=round", `
		round-pane length = 29 3/8 in
		base/hoop outside = 30 in
		clip pieces = 8`},
	{"osmere-plant-stand", "saucer=glass", `
		base/leg run 1 = 22 1/2 in
		base/ring pieces = 2
		base/ring outside = 10 in
		base/pot-bar pieces = 4
		base/pot-bar straight = 9 in
		saucer length = 8 3/4 in
		pad pieces = 6`},
	{"tarrend-stool", "back=low", `
		base/bent-frame run 1 = 21 3/8 in
		base/bent-frame run 3 = 10 1/4 in
		base/rail straight = 13 1/2 in
		base/foot-rail pieces = 4
		base/back run 1 = 7 in
		base/back run 3 = 10 1/4 in
		pad height = 2 in`},
	// under wood of 1 1/4 in: 26 - 1 1/4 - 1/4 - 3/8 - 2
	{"tarrend-stool", "seat=wood", `
		base/bent-frame run 1 = 22 1/8 in
		wood-seat length = 15 in
		base/clip pieces = 4`},
	{"tarrend-chair", "", `
		base/back-leg run 1 = 15 3/4 in
		base/back-leg run 3 = 15 in
		base/front-leg straight = 15 3/4 in
		base/cross-rail straight = 16 in
		base/side-rail straight = 15 in
		base/back-rail pieces = 2
		base/back-slat pieces = 3
		base/back-slat straight = 12 in
		cushion length = 18 in
		cushion width = 17 in`},
	{"tarrend-footstool", "", `
		base/leg straight = 9 3/4 in
		base/long-angle long point = 18 in
		base/short-angle long point = 14 in`},
	{"fendrel-bed", "", `
		base/head/post straight = 47 3/4 in
		base/head/rail straight = 61 in
		base/head/slat pieces = 12
		base/head/slat straight = 31 in
		base/foot/post straight = 14 3/4 in
		base/side/rail straight = 81 in
		base/side/bar pieces = 8
		base/side/bar straight = 61 in
		base/side/foot pieces = 2
		base/side/foot straight = 11 3/4 in
		bolt pieces = 24
		glide pieces = 6`},
	{"fendrel-bed", "mattress=twin; head=panel", `
		panel length = 40 in
		panel width = 31 in
		base/side/bar pieces = 7
		base/side/foot pieces = 0
		carton head length = 48 in`},
}
