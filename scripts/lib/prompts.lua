-- Words for a trainee who has not come to something by a time, as an instructor would say them:
--
--   local prompts = require("lib.prompts")
--   prompts {
--     { by = "10 min", unless = shown("PT-1101"):above("1.2 barg"), say = "The sea-water pressure, please." },
--     { by = "25 min", unless = lit("BL-2001"), say = "When will the burner be lit?" },
--   }
--
-- Each is said once, at its time of the run, to those only for whom its condition has not held by then; the
-- debrief says that it was.
local function prompts(list)
  for i, prompt in ipairs(list) do
    if prompt.by == nil or prompt.unless == nil or prompt.say == nil then
      error("prompt " .. i .. " needs by = \"10 min\", unless = a condition and say = \"the words\"", 2)
    end
    story(function(run)
      if not run:wait_until(prompt.unless, prompt.by) then
        run:tell(prompt.say)
        run:note("Prompted at " .. prompt.by .. ": " .. prompt.say)
      end
    end)
  end
end

return prompts
