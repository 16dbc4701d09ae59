--! expect: script::fuel at 5
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local c = coroutine.create(function()
  while true do end
end)
coroutine.resume(c)
