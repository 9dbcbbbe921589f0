;; Reads and writes the plain data records of a text format, sixteen bytes at a time. record-kernel.ts calls it;
;; plain-script.ts and digit-writer.ts say the same in another language, and the tests compare them.
;;
;; Two pages of memory:
;;      0   32 bytes of FF, then 32 of 00: what is read from 32 - n on marks the first n characters of 32
;;    128   what came of the last reading: where the bytes end, records, address of the first byte (4 bytes each)
;;    256   what each character stands for as a digit, and 1; 0 when it is none
;;    512   the sixteen digits
;;   1024   bytes, read or to be written
;;  16384   characters, to be read or written
(module
  (memory (export "memory") 2 2)
  (data (i32.const 0)
    "\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff\ff")
  (data (i32.const 304) "\01\02\03\04\05\06\07\08\09\0a") ;; 0 to 9
  (data (i32.const 321) "\0b\0c\0d\0e\0f\10")             ;; A to F
  (data (i32.const 353) "\0b\0c\0d\0e\0f\10")             ;; a to f
  (data (i32.const 512) "0123456789ABCDEF")

  ;; Reads records that continue each other from `at` on, and stops before the first that needs a second look or is not
  ;; there as a whole with its line end before `end`, or when the bytes reach `enough`. Where it stopped comes back.
  (func (export "read")
    (param $at i32) (param $end i32)
    (param $to i32) (param $enough i32)       ;; where the bytes go
    (param $mark i32) (param $markLength i32) ;; the characters before the length, the first in the low byte
    (param $addressLength i32)                ;; bytes of the address: 2, 3 or 4
    (param $typed i32)                        ;; 1 when a type of 0 follows the address (of 2 bytes)
    (param $counted i32)                      ;; what the length counts besides the data
    (param $total i32)                        ;; what all bytes add up to, modulo 256
    (result i32)

    (local $used i32) (local $records i32)
    (local $head i32) (local $count i32) (local $length i32)
    (local $from i32) (local $left i32) (local $behind i32) (local $after i32)
    (local $high i32) (local $low i32)
    (local $address i64) (local $next i64) (local $first i64) (local $addressEnd i64)
    (local $headDigits v128) (local $headBytes v128) (local $header v128)
    (local $chars v128) (local $digits v128) (local $more v128) (local $seen v128) (local $bytes v128) (local $sums v128)
    ;; Constants of all sixteen lanes: written out where they are used they would be made anew each time.
    (local $zero v128) (local $nine v128) (local $ten v128) (local $a v128) (local $small v128) (local $noDigit v128)
    (local $lowByte v128)

    (local.set $zero (i8x16.splat (i32.const 0x30)))
    (local.set $nine (i8x16.splat (i32.const 9)))
    (local.set $ten (i8x16.splat (i32.const 10)))
    (local.set $a (i8x16.splat (i32.const 0x61)))
    (local.set $small (i8x16.splat (i32.const 0x20)))
    (local.set $noDigit (i8x16.splat (i32.const 0xf0)))
    (local.set $lowByte (i16x8.splat (i32.const 0xff)))

    (local.set $head (i32.add (i32.add (i32.const 1) (local.get $addressLength)) (local.get $typed))) ;; bytes
    (local.set $headDigits (v128.load (i32.sub (i32.const 32) (i32.shl (local.get $head) (i32.const 1)))))
    (local.set $headBytes (v128.load (i32.sub (i32.const 32) (local.get $head))))
    (local.set $addressEnd
      (i64.shl (i64.const 1) (i64.extend_i32_u (i32.shl (local.get $addressLength) (i32.const 3)))))
    (local.set $used (local.get $to))
    (local.set $next (i64.const -1))
    (local.set $count (i32.sub (local.get $length) (local.get $counted)))

    (block $done
      (loop $record
        (br_if $done (i32.ge_u (local.get $used) (local.get $enough)))
        (local.set $from (i32.add (local.get $at) (local.get $markLength)))
        (br_if $done (i32.gt_u (i32.add (local.get $from) (i32.const 8)) (local.get $end)))
        (br_if $done (i32.ne (local.get $mark)
          (if (result i32) (i32.eq (local.get $markLength) (i32.const 1))
            (then (i32.load8_u (local.get $at)))
            (else (i32.load16_u (local.get $at))))))

        ;; Length, address and type. A character that is no digit comes to more than 15.
        (local.set $chars (v128.load (local.get $from)))
        (local.set $digits (i8x16.sub (local.get $chars) (local.get $zero)))
        (local.set $digits (v128.and (local.get $headDigits) (v128.bitselect
          (local.get $digits)
          (i8x16.add_sat_u
            (i8x16.sub (v128.or (local.get $chars) (local.get $small)) (local.get $a)) (local.get $ten))
          (i8x16.eq (i8x16.min_u (local.get $digits) (local.get $nine)) (local.get $digits)))))
        (local.set $seen (local.get $digits))
        (local.set $header (v128.and (local.get $lowByte)
          (v128.or (i16x8.shl (local.get $digits) (i32.const 4)) (i16x8.shr_u (local.get $digits) (i32.const 8)))))
        (local.set $header (v128.and (local.get $headBytes)
          (i8x16.narrow_i16x8_u (local.get $header) (local.get $header))))
        (local.set $sums (i16x8.extadd_pairwise_i8x16_u (local.get $header)))
        ;; Mostly it is as long as the one before: then what follows need not wait for this look.
        (if (i32.ne (local.get $length) (i8x16.extract_lane_u 0 (local.get $header)))
          (then
            (local.set $length (i8x16.extract_lane_u 0 (local.get $header)))
            (local.set $count (i32.sub (local.get $length) (local.get $counted)))))
        (br_if $done (i32.le_s (local.get $count) (i32.const 0)))
        (local.set $from (i32.add (local.get $from) (i32.shl (local.get $head) (i32.const 1))))
        (local.set $behind (i32.add (local.get $from) (i32.shl (local.get $count) (i32.const 1))))
        (br_if $done (i32.ge_u (i32.add (local.get $behind) (i32.const 2)) (local.get $end)))

        ;; The data: 32 characters a turn, those behind the last taken for 0.
        (local.set $to (local.get $used))
        (local.set $left (local.get $count))
        (loop $turn
          (local.set $chars (v128.load (local.get $from)))
          (local.set $digits (i8x16.sub (local.get $chars) (local.get $zero)))
          (local.set $digits (v128.bitselect
            (local.get $digits)
            (i8x16.add_sat_u
              (i8x16.sub (v128.or (local.get $chars) (local.get $small)) (local.get $a)) (local.get $ten))
            (i8x16.eq (i8x16.min_u (local.get $digits) (local.get $nine)) (local.get $digits))))
          (local.set $chars (v128.load offset=16 (local.get $from)))
          (local.set $more (i8x16.sub (local.get $chars) (local.get $zero)))
          (local.set $more (v128.bitselect
            (local.get $more)
            (i8x16.add_sat_u
              (i8x16.sub (v128.or (local.get $chars) (local.get $small)) (local.get $a)) (local.get $ten))
            (i8x16.eq (i8x16.min_u (local.get $more) (local.get $nine)) (local.get $more))))
          (if (i32.lt_s (local.get $left) (i32.const 16))
            (then
              (local.set $low (i32.sub (i32.const 32) (i32.shl (local.get $left) (i32.const 1))))
              (local.set $digits (v128.and (local.get $digits) (v128.load (local.get $low))))
              (local.set $more (v128.and (local.get $more) (v128.load offset=16 (local.get $low))))))
          (local.set $seen (v128.or (local.get $seen) (v128.or (local.get $digits) (local.get $more))))
          (local.set $bytes (i8x16.narrow_i16x8_u
            (v128.and (local.get $lowByte)
              (v128.or (i16x8.shl (local.get $digits) (i32.const 4)) (i16x8.shr_u (local.get $digits) (i32.const 8))))
            (v128.and (local.get $lowByte)
              (v128.or (i16x8.shl (local.get $more) (i32.const 4)) (i16x8.shr_u (local.get $more) (i32.const 8))))))
          (local.set $sums (i16x8.add (local.get $sums) (i16x8.extadd_pairwise_i8x16_u (local.get $bytes))))
          (v128.store (local.get $to) (local.get $bytes))
          (local.set $to (i32.add (local.get $to) (i32.const 16)))
          (local.set $from (i32.add (local.get $from) (i32.const 32)))
          (local.set $left (i32.sub (local.get $left) (i32.const 16)))
          (br_if $turn (i32.gt_s (local.get $left) (i32.const 0))))
        (br_if $done (v128.any_true (v128.and (local.get $seen) (local.get $noDigit))))

        ;; The checksum.
        (local.set $high (i32.load8_u offset=256 (i32.load8_u (local.get $behind))))
        (br_if $done (i32.eqz (local.get $high)))
        (local.set $low (i32.load8_u offset=256 (i32.load8_u offset=1 (local.get $behind))))
        (br_if $done (i32.eqz (local.get $low)))
        (local.set $sums (i32x4.extadd_pairwise_i16x8_u (local.get $sums)))
        (local.set $sums (i32x4.add (local.get $sums)
          (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $sums) (local.get $sums))))
        (br_if $done (i32.ne (local.get $total) (i32.and (i32.const 0xff) (i32.add
          (i32.sub (i32.add (i32.shl (local.get $high) (i32.const 4)) (local.get $low)) (i32.const 17))
          (i32.add (i32x4.extract_lane 0 (local.get $sums)) (i32x4.extract_lane 1 (local.get $sums)))))))

        ;; Address and type.
        (if (local.get $typed) (then (br_if $done (i8x16.extract_lane_u 3 (local.get $header)))))
        (local.set $address (i64.extend_i32_u (i32.shr_u
          (i32x4.extract_lane 0 (i8x16.swizzle (local.get $header) (v128.const i8x16 4 3 2 1 0 0 0 0 0 0 0 0 0 0 0 0)))
          (i32.shl (i32.sub (i32.const 4) (local.get $addressLength)) (i32.const 3)))))
        (if (i64.ne (local.get $address) (local.get $next))
          (then
            (br_if $done (local.get $records))
            (local.set $first (local.get $address))
            (local.set $next (local.get $address))))
        (local.set $next (i64.add (local.get $next) (i64.extend_i32_u (local.get $count))))
        (br_if $done (i64.gt_u (local.get $next) (local.get $addressEnd)))

        ;; The line end.
        (local.set $after (i32.load8_u offset=2 (local.get $behind)))
        (local.set $behind (i32.add (local.get $behind) (i32.const 3)))
        (if (i32.ne (local.get $after) (i32.const 0x0a))
          (then
            (br_if $done (i32.ne (local.get $after) (i32.const 0x0d)))
            (br_if $done (i32.ge_u (local.get $behind) (local.get $end))) ;; what comes next may belong to it
            (local.set $behind
              (i32.add (local.get $behind) (i32.eq (i32.load8_u (local.get $behind)) (i32.const 0x0a))))))

        (local.set $used (i32.add (local.get $used) (local.get $count)))
        (local.set $records (i32.add (local.get $records) (i32.const 1)))
        (local.set $at (local.get $behind))
        (br $record)))

    (i32.store (i32.const 128) (local.get $used))
    (i32.store (i32.const 132) (local.get $records))
    (i32.store (i32.const 136) (i32.wrap_i64 (local.get $first)))
    (local.get $at))

  ;; Writes `count` bytes from `from` on as records of at most `step` bytes, and says where the text ends.
  (func (export "write")
    (param $from i32) (param $count i32)
    (param $step i32)
    (param $to i32)                           ;; where the text goes
    (param $address i32)                      ;; of the first byte
    (param $mark i32) (param $markLength i32)
    (param $addressLength i32)
    (param $typed i32)
    (param $counted i32)
    (param $total i32)
    (param $lineEnd i32) (param $lineEndLength i32) ;; its characters, the first in the low byte
    (result i32)

    (local $end i32) (local $length i32) (local $left i32) (local $sum i32) (local $at i32)
    (local $bytes v128) (local $high v128) (local $low v128) (local $sums v128)
    (local $digits v128) (local $lowHalf v128)

    (local.set $digits (v128.load (i32.const 512)))
    (local.set $lowHalf (i8x16.splat (i32.const 0x0f)))
    (local.set $end (i32.add (local.get $from) (local.get $count)))
    (loop $record
      (local.set $length (i32.sub (local.get $end) (local.get $from)))
      (if (i32.gt_u (local.get $length) (local.get $step)) (then (local.set $length (local.get $step))))
      (i32.store16 (local.get $to) (local.get $mark))
      (local.set $to (i32.add (local.get $to) (local.get $markLength)))

      ;; Length, address, type.
      (local.set $sum (i32.add (local.get $length) (local.get $counted)))
      (call $digitsOf (local.get $to) (local.get $sum))
      (local.set $to (i32.add (local.get $to) (i32.const 2)))
      (local.set $left (i32.shl (local.get $addressLength) (i32.const 3)))
      (loop $byte
        (local.set $left (i32.sub (local.get $left) (i32.const 8)))
        (local.set $at (i32.and (i32.const 0xff) (i32.shr_u (local.get $address) (local.get $left))))
        (call $digitsOf (local.get $to) (local.get $at))
        (local.set $sum (i32.add (local.get $sum) (local.get $at)))
        (local.set $to (i32.add (local.get $to) (i32.const 2)))
        (br_if $byte (local.get $left)))
      (if (local.get $typed)
        (then
          (i32.store16 (local.get $to) (i32.const 0x3030))
          (local.set $to (i32.add (local.get $to) (i32.const 2)))))

      ;; The data: what is written behind the last is written over.
      (local.set $sums (v128.const i64x2 0 0))
      (local.set $left (local.get $length))
      (local.set $at (local.get $to))
      (loop $turn
        (local.set $bytes (v128.load (local.get $from)))
        (local.set $high (i8x16.swizzle (local.get $digits) (i8x16.shr_u (local.get $bytes) (i32.const 4))))
        (local.set $low (i8x16.swizzle (local.get $digits) (v128.and (local.get $bytes) (local.get $lowHalf))))
        (v128.store (local.get $at)
          (i8x16.shuffle 0 16 1 17 2 18 3 19 4 20 5 21 6 22 7 23 (local.get $high) (local.get $low)))
        (v128.store offset=16 (local.get $at)
          (i8x16.shuffle 8 24 9 25 10 26 11 27 12 28 13 29 14 30 15 31 (local.get $high) (local.get $low)))
        (if (i32.lt_s (local.get $left) (i32.const 16))
          (then (local.set $bytes
            (v128.and (local.get $bytes) (v128.load (i32.sub (i32.const 32) (local.get $left)))))))
        (local.set $sums (i16x8.add (local.get $sums) (i16x8.extadd_pairwise_i8x16_u (local.get $bytes))))
        (local.set $from (i32.add (local.get $from) (i32.const 16)))
        (local.set $at (i32.add (local.get $at) (i32.const 32)))
        (local.set $left (i32.sub (local.get $left) (i32.const 16)))
        (br_if $turn (i32.gt_s (local.get $left) (i32.const 0))))
      (local.set $from (i32.add (local.get $from) (local.get $left))) ;; below 0 by what the last turn took too much

      ;; Checksum and line end.
      (local.set $to (i32.add (local.get $to) (i32.shl (local.get $length) (i32.const 1))))
      (local.set $sums (i32x4.extadd_pairwise_i16x8_u (local.get $sums)))
      (local.set $sums (i32x4.add (local.get $sums)
        (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $sums) (local.get $sums))))
      (call $digitsOf (local.get $to) (i32.and (i32.const 0xff) (i32.sub (local.get $total) (i32.add (local.get $sum)
        (i32.add (i32x4.extract_lane 0 (local.get $sums)) (i32x4.extract_lane 1 (local.get $sums)))))))
      (i32.store16 offset=2 (local.get $to) (local.get $lineEnd))
      (local.set $to (i32.add (i32.add (local.get $to) (i32.const 2)) (local.get $lineEndLength)))
      (local.set $address (i32.add (local.get $address) (local.get $length)))
      (br_if $record (i32.lt_u (local.get $from) (local.get $end))))
    (local.get $to))

  ;; The two digits of a byte.
  (func $digitsOf (param $at i32) (param $value i32)
    (i32.store8 (local.get $at) (i32.load8_u offset=512 (i32.shr_u (local.get $value) (i32.const 4))))
    (i32.store8 offset=1 (local.get $at) (i32.load8_u offset=512 (i32.and (local.get $value) (i32.const 0x0f))))))
