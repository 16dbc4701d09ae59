exercise { title = "T", plant = "demo", start = "cold", lasts = "20 min" }
local low = actual("LT-3001"):below("-50 mm")
step "slowly" { marks = 1, done = actual("TT-3207"):rate("1 min"):between("1 K/min", "5 K/min"):lasting("30 s") }
step "mean" { marks = 1, done = shown("PT-3001"):mean("5 min"):within("0.5 bar difference", "7 barg") }
step "above its mean" { marks = 1, done = actual("PT-3001"):above(actual("PT-3001"):mean("5 min")) }
step "air" { marks = 1, done = actual("FT-3301"):total():above("500 kg") }
limit "fastest" { marks = 1, keep = actual("PT-3001"):rate("10 s"):greatest():below("2 bar/min"), none_beyond = "1 bar/min" }
limit "least" { marks = 1, keep = actual("LT-3001"):least("10 min"):at_least("-80 mm") }
limit "hunting" { marks = 1, keep = setting("FCV-3102"):travel("10 min"):at_most("60 % open") }
limit "pressure to and fro" { marks = 1, keep = actual("PT-3001"):travel():at_most("30 bar difference") }
limit "in all" { marks = 1, keep = low:in_all():at_most("1 min") }
limit "longest" { marks = 1, keep = low:longest("10 min"):at_most("30 s") }
limit "starts" { marks = 1, keep = did("P-3101", "start"):times_in("10 min"):at_most(3) }
