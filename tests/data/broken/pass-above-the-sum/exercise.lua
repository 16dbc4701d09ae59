exercise {
  title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min",
  pass = 12, -- finds: script::pass
  out_of = 20, -- finds: script::out-of
}
step "flame" { marks = 4, done = lit("BL-2001") }
step "steam" { marks = 6, done = shown("PT-2001"):above("4 barg") }
