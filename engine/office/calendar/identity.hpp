/// Names that never change for things in a calendar. Private to this module.
#pragma once

#include <string>
#include <string_view>

namespace budwood::office {

/// Gives each thing of a site a name of its own: a UUID after RFC 4122, version 5 (SHA-1 of a
/// name), as RFC 7986, section 5.3, asks of calendars. It rests on the name of the site and of the
/// thing alone, so that the same order has the same one in every calendar of the site.
class Identity {
 public:
  explicit Identity(std::string_view site);

  /// Of the calendars of the site.
  std::string calendar() const;
  /// Of a thing of some kind, such as an "order" and its id.
  std::string of(std::string_view kind, std::string_view name) const;

 private:
  std::string space_;  ///< the 16 bytes of the site's own UUID
};

}  // namespace budwood::office
