exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
local flame = lit("BL-2001") -- finds: warning script::unused
lit("BL-2002") -- finds: warning script::thrown-away
local function never() -- finds: warning script::unused
  return 1
end
step "steam" { marks = 6, done = shown("PT-2001"):above("4 barg") }
