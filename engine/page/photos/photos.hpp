#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

namespace budwood::page {

/// What people see at the bench, as JPEG files in the folder `photos` beside the book. A note of
/// the record names them: `note "leaf spot, photo 1f0c9a77d2e4b835.jpg"`.

constexpr std::size_t largest_photo = 3U << 20U;  ///< bytes, as it is sent

/// The picture alone, made anew from its colours, so that nothing else goes with it: not where and
/// with what it was taken, no text, no second picture. Halved until it is 1600 pixels wide and high
/// at most. Nothing, and why in `problem`, when it is no whole JPEG picture.
std::optional<std::string> plain_photo(std::string_view bytes, std::string& problem);

/// Puts a photo beside the book; the same one again is the same file. Gives its name; "" and why in
/// `problem` when it cannot be kept.
std::string keep_photo(const std::filesystem::path& book, std::string_view bytes,
                       std::string& problem);

/// A photo of the book by its name; nothing when there is none.
std::optional<std::string> photo_named(const std::filesystem::path& book, const std::string& name);

}  // namespace budwood::page
