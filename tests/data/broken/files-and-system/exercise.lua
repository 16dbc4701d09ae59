exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
local log = io.open("/etc/passwd") -- finds: script::not-available
local home = os.getenv("HOME") -- finds: script::not-available
step "flame" { marks = 4, done = lit("BL-2001"), expected = log .. home }
