--! expect: script::lua at 4
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
for k in pairs({ [{}] = 1 }) do print(k) end
