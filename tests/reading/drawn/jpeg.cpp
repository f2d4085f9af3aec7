// libjpeg reports an error by a call that must not return; an exception can't pass through its C code, so a jump does.
// No object with a destructor is made in the functions jumped out of.

#include "reading/drawn/camera.h"

#include <csetjmp>
#include <cstdio>
#include <cstdlib>

#include <jpeglib.h>

namespace discal::drawn {

namespace {

struct Trouble {
    jpeg_error_mgr manager;
    std::jmp_buf back;
};

void jumpBack(j_common_ptr info) {
    std::longjmp(reinterpret_cast<Trouble*>(info->err)->back, 1);
}

/// False if it can't; `bytes` is to be freed either way.
bool encode(const std::uint8_t* rgb, int width, int height, int quality, unsigned char** bytes, unsigned long* size) {
    jpeg_compress_struct info{};
    Trouble trouble;
    info.err = jpeg_std_error(&trouble.manager);
    trouble.manager.error_exit = jumpBack;
    if (setjmp(trouble.back) != 0) {
        jpeg_destroy_compress(&info);
        return false;
    }
    jpeg_create_compress(&info);
    jpeg_mem_dest(&info, bytes, size);
    info.image_width = static_cast<JDIMENSION>(width);
    info.image_height = static_cast<JDIMENSION>(height);
    info.input_components = 3;
    info.in_color_space = JCS_RGB;
    jpeg_set_defaults(&info);
    jpeg_set_quality(&info, quality, TRUE);
    jpeg_start_compress(&info, TRUE);
    while (info.next_scanline < info.image_height) {
        auto* row = const_cast<JSAMPROW>(rgb + static_cast<std::size_t>(info.next_scanline) * info.image_width * 3);
        jpeg_write_scanlines(&info, &row, 1);
    }
    jpeg_finish_compress(&info);
    jpeg_destroy_compress(&info);
    return true;
}

bool decode(const unsigned char* bytes, unsigned long size, std::uint8_t* rgb) {
    jpeg_decompress_struct info{};
    Trouble trouble;
    info.err = jpeg_std_error(&trouble.manager);
    trouble.manager.error_exit = jumpBack;
    if (setjmp(trouble.back) != 0) {
        jpeg_destroy_decompress(&info);
        return false;
    }
    jpeg_create_decompress(&info);
    jpeg_mem_src(&info, bytes, size);
    jpeg_read_header(&info, TRUE);
    info.out_color_space = JCS_RGB;
    jpeg_start_decompress(&info);
    while (info.output_scanline < info.output_height) {
        JSAMPROW row = rgb + static_cast<std::size_t>(info.output_scanline) * info.output_width * 3;
        jpeg_read_scanlines(&info, &row, 1);
    }
    jpeg_finish_decompress(&info);
    jpeg_destroy_decompress(&info);
    return true;
}

} // namespace

void compress(services::Frame& frame, int quality) {
    unsigned char* bytes = nullptr;
    unsigned long size = 0;
    const bool isDone = encode(frame.rgb.data(), frame.width, frame.height, quality, &bytes, &size) &&
                        decode(bytes, size, frame.rgb.data());
    std::free(bytes);
    if (!isDone)
        std::abort();
}

} // namespace discal::drawn
