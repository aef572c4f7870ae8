#include "fuzzing.hpp"
#include "page/photos/photos.hpp"

/// Any bytes as a photo: what is kept of it is a picture, and has nothing but the picture.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  std::string problem;
  const auto plain = page::plain_photo(fuzz::bytes_of(data, size), problem);
  fuzz::must(plain.has_value() == problem.empty(), "neither a photo nor a reason");
  fuzz::accepted = plain.has_value();
  if (!plain) return 0;
  for (const char* segment : {"Exif", "http://ns.adobe.com", "ICC_PROFILE"}) {
    fuzz::must(plain->find(segment) == std::string::npos, "a photo with more than the picture");
  }
  fuzz::must(page::plain_photo(*plain, problem).has_value(), "a photo that cannot be read again");
  return 0;
}
