" Colours for Budwood's protocols in Vim and Neovim. Made by the program; a test holds it
" against the words of the language.
if exists("b:current_syntax")
  finish
endif
syntax case match
syntax keyword budwoodStatement protocol edition crop source note input let table supply part stage
syntax keyword budwoodStatement in after room space lasts may no loses keep taper mist until for do
syntax keyword budwoodStatement starts rate time crew people use tool tagged caution record require
syntax keyword budwoodStatement advise if season takes yields discard minimum setup warn waive set
syntax keyword budwoodStatement change add drop rename move variant rules rule observe repeat under
syntax keyword budwoodStatement recipe holds picks grades irrigate
syntax keyword budwoodWord pack hazard reused of joins with into by usually to wait every from over
syntax keyword budwoodWord day night last on at start daily within each per else then between above
syntax keyword budwoodWord up most seen scrap whole least steps based entry step where some has
syntax keyword budwoodWord meets before work times and or footprint not
syntax keyword budwoodSetting air leaf root_zone humidity vpd light photoperiod shade co2
syntax keyword budwoodSetting irrigation light_sum night_break dew_point absolute_humidity
syntax keyword budwoodSetting mist_time mist_pulses
syntax keyword budwoodHazard flammable corrosive toxic irritant blade sharps electricity heat heavy
syntax keyword budwoodHazard concentrate dust
syntax match budwoodNumber "\<\d\+\(\.\d\+\)\?\>"
syntax match budwoodNumber "\<\d\d\d\d-\d\d-\d\d\>"
syntax match budwoodNumber "\<\d\d\?:\d\d\>"
syntax region budwoodText start=+"+ skip=+\\.+ end=+"+ oneline
syntax match budwoodComment "#.*$"
syntax region budwoodBlock start="{" end="}" transparent fold
highlight default link budwoodStatement Statement
highlight default link budwoodWord Keyword
highlight default link budwoodSetting Identifier
highlight default link budwoodHazard Special
highlight default link budwoodNumber Number
highlight default link budwoodText String
highlight default link budwoodComment Comment
let b:current_syntax = "budwood"
