exercise { title = "Broken", plant = "training-vessel", start = "cooling-up", lasts = "20 min" }
fault "pump" { on = "P-1101", kind = "trips", at = "5 min", clears_when = did("repair", "P-1101") } -- finds: warning script::cleared-by-asking
step "one" { marks = 1, done = did("K-2001", "start"), full_by = "25 min", none_by = "45 min" } -- finds: warning script::past-the-end
step "two" { marks = 1, done = actual("YS-2003"):is("purged"), after = "one" }
step "three" { marks = 1, done = did("HS-2002", "start") }
-- What may stand in a step's place comes where that comes, and needs no after of its own.
step "instead" { marks = 1, done = did("K-1401", "start"), instead_of = "one" }
order "in turn" { marks = 1, steps = { "two", "one", "three", "instead" } } -- finds: warning script::order, warning script::order
response "seen" { to = "pump", marks = 1, by = did("P-1102", "start"), full = "30 min", none = "40 min" } -- finds: warning script::past-the-end
-- Critical, and the wrong way round: nobody has the sea-water pressure so low to begin with.
limit "pressure" { marks = 1, keep = actual("PT-1101"):below("1 barg"), critical = true } -- finds: warning check::broken-from-the-start
