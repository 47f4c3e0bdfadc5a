/**
 * Makes the sample photos: renders the invented houses under {@code src/scenes} with POV-Ray,
 * develops the renderings as a camera would, writes the metadata a phone and a compact camera
 * write, and exports what is truly in each picture.
 *
 * <p>{@link meterside.scenes.ShotList} reads {@code src/scenes/shots.json}, the one list of all
 * photos. {@link meterside.scenes.Scene} turns a shot into a POV-Ray scene and renders it as linear
 * light. {@link meterside.scenes.Development} meters, tones, blurs and grains it. {@link
 * meterside.scenes.CameraFile} writes the JPEG. {@link meterside.scenes.Truth} projects what the
 * scene names into the picture. {@link meterside.scenes.RenderPhotos} is the program, started by
 * {@code src/scenes/render}.
 *
 * <p>Frames: world points are metres in the frame of their place (x right and y up as one faces the
 * wall, z into the wall). Picture points are fractions of the upright picture's width and height
 * with the origin at the top left.
 */
package meterside.scenes;
