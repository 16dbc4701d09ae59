exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "flame" { marks = 2.125, done = lit("BL-2001") } -- finds: script::marks
step "pilot" { marks = -1, done = lit("BL-2002") } -- finds: script::marks
step "steam" { marks = "six", done = shown("PT-2001"):above("4 barg") } -- finds: script::field
