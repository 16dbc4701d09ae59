--! expect: script::syntax at 4
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
step "a" { marks = 1
  done = lit("XL-3310") }
