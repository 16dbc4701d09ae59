exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
limit "metal" {
  marks = 4,
  keep = actual("TT-2102"):below("420 degC"),
  during = not set_to("HS-2001", "manual"), -- finds: script::and-or
}
