#include "drawing/patterns.hpp"

#include <array>

namespace budwood::drawing {

namespace {

struct Filling {
  std::string_view words;
  std::string_view pattern;
};

/// As Pen::Fill.
constexpr std::array<Filling, 14> fillings = {{
    {"none", ""},
    {"#fff", ""},
    {"url(#hatch)", ""},
    {"url(#dots)", ""},
    {"url(#grille)", ""},
    {"#ccc", ""},
    {"url(#backhatch)",
     R"(<pattern id="backhatch" width="5" height="5" patternUnits="userSpaceOnUse">
<rect width="5" height="5" fill="#fff"/>
<path d="M-1 4L1 6M0 0L5 5M4 -1L6 1" stroke="#000" stroke-width="0.8"/>
</pattern>
)"},
    {"url(#uprights)",
     R"(<pattern id="uprights" width="4" height="4" patternUnits="userSpaceOnUse">
<rect width="4" height="4" fill="#fff"/>
<path d="M2 0V4" stroke="#000" stroke-width="0.9"/>
</pattern>
)"},
    {"url(#levels)",
     R"(<pattern id="levels" width="4" height="4" patternUnits="userSpaceOnUse">
<rect width="4" height="4" fill="#fff"/>
<path d="M0 2H4" stroke="#000" stroke-width="0.9"/>
</pattern>
)"},
    {"url(#checks)",
     R"(<pattern id="checks" width="6" height="6" patternUnits="userSpaceOnUse">
<rect width="6" height="6" fill="#fff"/>
<path d="M0 0H3V3H0zM3 3H6V6H3z" fill="#000"/>
</pattern>
)"},
    {"url(#squares)",
     R"(<pattern id="squares" width="5" height="5" patternUnits="userSpaceOnUse">
<rect width="5" height="5" fill="#fff"/>
<path d="M2 0V5M0 2H5" stroke="#000" stroke-width="0.8"/>
</pattern>
)"},
    {"url(#widehatch)",
     R"(<pattern id="widehatch" width="8" height="8" patternUnits="userSpaceOnUse">
<rect width="8" height="8" fill="#fff"/>
<path d="M-2 2L2 -2M0 8L8 0M6 10L10 6" stroke="#000" stroke-width="2"/>
</pattern>
)"},
    {"url(#densedots)",
     R"(<pattern id="densedots" width="4" height="4" patternUnits="userSpaceOnUse">
<rect width="4" height="4" fill="#000"/>
<circle cx="2" cy="2" r="1.2" fill="#fff"/>
</pattern>
)"},
    {"#000", ""},
}};

}  // namespace

std::string_view fill_words(Pen::Fill fill) {
  return fillings[static_cast<std::size_t>(fill)].words;
}

std::string_view pattern_words(Pen::Fill fill) {
  return fillings[static_cast<std::size_t>(fill)].pattern;
}

}  // namespace budwood::drawing
