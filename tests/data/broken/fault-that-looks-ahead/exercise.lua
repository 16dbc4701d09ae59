exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
fault "lamp" {
  on = "XL-2104", kind = "dark",
  when = alarm("XA-2001"):answered_within("1 min", did("acknowledge")), -- finds: script::looks-ahead
}
limit "kept" { marks = 2, keep = did("lamp test") } -- finds: script::moment
step "value" { marks = 2, done = shown("PT-2001") } -- finds: script::no-comparison
