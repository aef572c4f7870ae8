#include "office/calendar/identity.hpp"

#include <algorithm>
#include <boost/uuid/name_generator_sha1.hpp>
#include <boost/uuid/string_generator.hpp>
#include <boost/uuid/uuid_io.hpp>

namespace budwood::office {

namespace {

using boost::uuids::uuid;

/// Drawn once by lot; another one would give all events other names.
constexpr const char* budwood_space = "7d0f6c1e-3a52-4b8e-9c47-5e21d80ab6f3";

uuid named(const uuid& space, std::string_view name) {
  return boost::uuids::name_generator_sha1(space)(name.data(), name.size());
}

uuid from_bytes(const std::string& bytes) {
  uuid out{};
  std::copy_n(bytes.begin(), out.size(), out.begin());
  return out;
}

}  // namespace

Identity::Identity(std::string_view site) {
  const uuid own = named(boost::uuids::string_generator()(budwood_space), site);
  space_.assign(own.begin(), own.end());
}

std::string Identity::calendar() const {
  return to_string(from_bytes(space_));
}

std::string Identity::of(std::string_view kind, std::string_view name) const {
  // No kind holds a line break, so that no two pairs give the same text.
  std::string text(kind);
  text += '\n';
  text += name;
  return to_string(named(from_bytes(space_), text));
}

}  // namespace budwood::office
