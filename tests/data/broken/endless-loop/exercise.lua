exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
while true do end -- finds: script::fuel
step "flame" { marks = 4, done = lit("BL-2001") }
