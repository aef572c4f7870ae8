# embed_assets(OUT "path|file"...) writes a source with the bytes of the files, taken in by the assembler,
# which takes no time where a list of numbers would take a minute.
function(embed_assets out)
  set(bytes "")
  set(rows "")
  set(files "")
  set(number 0)
  foreach(asset ${ARGN})
    string(REPLACE "|" ";" parts ${asset})
    list(GET parts 0 path)
    list(GET parts 1 file)
    string(APPEND bytes
      "asm(\".section .rodata\\nasset_${number}:\\n.incbin \\\"${file}\\\"\\nasset_${number}_end:\\n.byte 0\\n.previous\");\n"
      "extern const char begin_${number}[] asm(\"asset_${number}\");\n"
      "extern const char end_${number}[] asm(\"asset_${number}_end\");\n")
    string(APPEND rows "    {\"/${path}\", begin_${number}, end_${number}},\n")
    list(APPEND files ${file})
    math(EXPR number "${number} + 1")
  endforeach()
  file(GENERATE OUTPUT ${out} CONTENT
"#include \"page/assets/embedded.hpp\"

extern \"C\" {
${bytes}}

namespace budwood::page {

std::vector<EmbeddedFile> embedded_files() {
  return {
${rows}  };
}

}  // namespace budwood::page
")
  set_source_files_properties(${out} PROPERTIES OBJECT_DEPENDS "${files}" SKIP_UNITY_BUILD_INCLUSION ON)
endfunction()
