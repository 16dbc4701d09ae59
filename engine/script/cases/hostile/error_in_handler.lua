--! expect: script::not-available at 5
--! expect: script::lua at 5
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
error(setfenv)
