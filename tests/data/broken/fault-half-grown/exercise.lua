exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "30 min" }
fault "late" { on = "LCV-3001", kind = "passing", at = "20 min", grows_over = "15 min" } -- finds: warning script::half-grown
fault "short" { on = "P-3001", kind = "worn", at = "5 min", grows_over = "5 min", lasts = "2 min" } -- finds: warning script::half-grown
fault "well" { on = "P-3002", kind = "worn", at = "5 min", grows_over = "5 min", lasts = "6 min" }
step "flame" { marks = 4, done = lit("BL-2001") }
