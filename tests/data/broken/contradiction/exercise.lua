exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "between" {
  marks = 4,
  done = all(shown("PT-2001"):above("7 barg"), shown("PT-2001"):below("5 barg")), -- finds: script::never
}
step "both" { marks = 2, done = all(lit("BL-2001"), dark("BL-2001")) } -- finds: script::never
step "twice" { marks = 2, done = all(set_to("HS-2001", "manual"), set_to("HS-2001", "automatic")) } -- finds: script::never
